/**
 * Adhesive for one site, mm³: the annulus between bore and insert over the insert's length, plus the reservoir
 * under it, plus a spare share (20 %) [common practice]. `outside` is the insert's diameter at its mouth, `taper`
 * its full angle in degrees: the body is a frustum. The drill point's cone is not counted: it need not be filled.
 */
export function adhesiveVolume(bore: {
  readonly diameter: number;
  readonly depth: number;
  readonly outside: number;
  readonly length: number;
  readonly taper: number;
  readonly relief?: { readonly diameter: number; readonly depth: number };
  readonly spare: number;
}): number {
  const { diameter, outside, length } = bore;
  const foot = Math.max(0, outside - 2 * length * Math.tan((bore.taper * Math.PI) / 360));
  const body = (Math.PI / 12) * length * (outside * outside + outside * foot + foot * foot);
  const hole = (Math.PI / 4) * diameter * diameter * bore.depth;
  const mouth =
    bore.relief === undefined
      ? 0
      : (Math.PI / 4) *
        (bore.relief.diameter * bore.relief.diameter - diameter * diameter) *
        bore.relief.depth;
  return Math.max(0, hole + mouth - body) * (1 + bore.spare);
}
