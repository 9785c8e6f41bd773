import type { Command } from '../command.ts';

/** Every command by name; each module is loaded only when it is asked for. */
export const COMMANDS: readonly { readonly name: string; readonly load: () => Promise<Command> }[] = [
  { name: 'regenerate', load: async () => (await import('./regenerate.ts')).regenerate },
  { name: 'check', load: async () => (await import('./check.ts')).check },
  { name: 'diff', load: async () => (await import('./diff.ts')).diff },
  { name: 'guard', load: async () => (await import('./guard.ts')).guardCommand },
  { name: 'survey', load: async () => (await import('./survey.ts')).survey },
  { name: 'status', load: async () => (await import('./status.ts')).status },
  { name: 'record', load: async () => (await import('./record.ts')).record },
  { name: 'explain', load: async () => (await import('./explain.ts')).explain },
  { name: 'fasteners', load: async () => (await import('./fasteners.ts')).fasteners },
  { name: 'new', load: async () => (await import('./new.ts')).newMachine },
  { name: 'schema', load: async () => (await import('./schema.ts')).schema },
];
