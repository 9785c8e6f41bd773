export type { PostedFile } from './model.ts';
