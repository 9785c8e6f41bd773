import { profilePage } from './profile-page.ts';
import { rulesPage } from './rules-page.ts';

/** Generated pages of the documentation, by path below the repository. */
export function docPages(): { readonly path: string; readonly text: string }[] {
  return [
    { path: 'docs/rules.md', text: rulesPage() },
    { path: 'docs/profile.md', text: profilePage() },
  ];
}
