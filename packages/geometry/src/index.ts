export { difference, intersection, regionFromRing, union } from './booleans.ts';
export { boxOfBoth, boxOfRings } from './box.ts';
export type { Cover, CoverInstance, CoverOptions } from './cover.ts';
export { coverSet } from './cover.ts';
export { coverageRadius, placesBeyond } from './coverage.ts';
export type { NearestFeature } from './feature-index.ts';
export { FeatureIndex } from './feature-index.ts';
export { heightMisses } from './height-misses.ts';
export type { HeightSurface } from './heights.ts';
export { heightSurface } from './heights.ts';
export { distance, hypotenuse, seededRandom } from './numbers.ts';
export { offset, sweep } from './offset.ts';
export type { HeightPoint, Plane } from './plane.ts';
export { fitPlane } from './plane.ts';
export { PointCover } from './point-cover.ts';
export {
  bounds,
  containsPoint,
  mapRegion,
  nearestOnBoundary,
  nearestPointIn,
  regionArea,
} from './region.ts';
export { register, skewFromDiagonals } from './registration.ts';
export type { PointPair, Registration, RegistrationModel, ScaleSlip, Shape } from './registration-model.ts';
export { forgetAnswers, Remembered } from './remembered.ts';
export type { ResidualSurface } from './residual-surface.ts';
export { residualSurface } from './residual-surface.ts';
export { circleRing, isSimpleRing, rectangleRing, ringArea } from './rings.ts';
export type { Tour, TourOptions } from './tour.ts';
export { shortestTour } from './tour.ts';
export type { Transform } from './transform.ts';
export {
  applyTransform,
  composeTransforms,
  IDENTITY,
  invertTransform,
} from './transform.ts';
export type { Box, Point, Polygon, Region, Ring } from './types.ts';
