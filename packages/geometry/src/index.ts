export type { PointPair, Registration, RegistrationModel } from './registration-model.ts';
export type { Transform } from './transform.ts';
export { applyTransform, IDENTITY } from './transform.ts';
export type { Box, Point, Polygon, Region, Ring } from './types.ts';
