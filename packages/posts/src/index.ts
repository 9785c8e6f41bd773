export type { PostedFile } from './model.ts';
export { post } from './post.ts';
