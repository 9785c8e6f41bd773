export type { PostedFile } from './model.ts';
export { post } from './post.ts';
export type { PostCode } from './rules/post-rules.ts';
export { POST_RULES } from './rules/post-rules.ts';
