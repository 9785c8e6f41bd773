import { Matrix, QrDecomposition, SingularValueDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import {
  applyTransform,
  type Point,
  type PointPair,
  register,
  seededRandom,
  skewFromDiagonals,
} from './index.ts';
import { rotation, translation } from './testing/transforms.ts';
import { composeTransforms } from './transform.ts';

const pairsOf = (rows: readonly (readonly [number, number, number, number])[]): PointPair[] =>
  rows.map(([x, y, u, v], i) => ({ id: `P${i + 1}`, from: [x, y], to: [u, v] }));

/** Normal deviates from uniform ones (Box & Muller 1958). */
function normal(random: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

const corners: Point[] = [[0, 0], [1200, 0], [1200, 2400], [0, 2400]]; // biome-ignore format: one line
const eight: Point[] = [...corners, [600, 0], [1200, 1200], [600, 2400], [0, 1200]];

function measured(
  marks: readonly Point[],
  image: (p: Point) => Point,
  sigma: number,
  seed: number,
): PointPair[] {
  const noise = normal(seededRandom(seed));
  return marks.map((from, i) => {
    const [x, y] = image(from);
    return { id: `M${i + 1}`, from, to: [x + sigma * noise(), y + sigma * noise()] };
  });
}

const placed = composeTransforms(translation(7, -3), rotation(0.0021));
const onBed = (p: Point): Point => applyTransform(placed, p);

describe('published examples', () => {
  it('Umeyama 1991: a similarity that must not become a mirror image', () => {
    // S. Umeyama, IEEE Trans. PAMI 13 (1991), the worked example; exact fractions derived from its formulas.
    const fit = register(pairsOf([[0, 0, 0, 0], [1, 0, -1, 0], [0, 2, 0, 2]]), { sigma: 1, model: 'similarity' }); // biome-ignore format: one line
    expect(fit.transform.a).toBeCloseTo(3 / 5, 14);
    expect(fit.transform.d).toBeCloseTo(-2 / 5, 14);
    expect(fit.scaleX).toBeCloseTo(Math.sqrt(13) / 5, 14);
    expect(fit.transform.c).toBeCloseTo(-4 / 5, 14);
    expect(fit.transform.f).toBeCloseTo(2 / 5, 14);
    const squares = fit.residuals.reduce((sum, r) => sum + r.length * r.length, 0);
    expect(squares / 3).toBeCloseTo(8 / 15, 14);
  });

  it('the conformal transformation of a surveying textbook, with offsets of a million', () => {
    // C. D. Ghilani & P. R. Wolf, Adjustment Computations, two-dimensional conformal example (inputs from memory;
    // all its printed results are met).
    const fit = register(
      pairsOf([
        [121.622, -128.066, 1049422.4, 51089.2],
        [141.228, 187.718, 1049413.95, 49659.3],
        [175.802, 135.728, 1049244.95, 49884.95],
      ]),
      { sigma: 0.1, model: 'similarity' },
    );
    expect(fit.transform.a).toBeCloseTo(-4.51249, 5);
    expect(fit.transform.d).toBeCloseTo(-0.25371, 5);
    expect(fit.transform.c).toBeCloseTo(1050003.715, 2);
    expect(fit.transform.f).toBeCloseTo(50542.131, 2);
    expect(fit.scaleX).toBeCloseTo(4.51962, 5);
    // The book prints residuals with the opposite sign: computed less measured.
    const printed = [[0.004, -0.029], [0.101, -0.077], [-0.105, 0.106]]; // biome-ignore format: one line
    fit.residuals.forEach((r, i) => {
      expect(Math.abs(r.dx)).toBeCloseTo(Math.abs(printed[i]![0]!), 3);
      expect(Math.abs(r.dy)).toBeCloseTo(Math.abs(printed[i]![1]!), 3);
      expect(r.dx * r.dy * printed[i]![0]! * printed[i]![1]!).toBeGreaterThan(0);
    });
  });

  it('a bed turned by a milliradian', () => {
    // Derived: exact rotation by 0.001 rad and translation (5, −3), printed to 0.1 µm.
    const fit = register(
      pairsOf([[0, 0, 5, -3], [2400, 0, 2404.9988, -0.6], [2400, 1200, 2403.7988, 1199.3994], [0, 1200, 3.8, 1196.9994]]), // biome-ignore format: one line
      { sigma: 0.05 },
    );
    expect(fit.model).toBe('rigid');
    expect(fit.rotation).toBeCloseTo(0.001, 7);
    expect(applyTransform(fit.transform, [0, 0])[0]).toBeCloseTo(5, 4);
    expect(applyTransform(fit.transform, [0, 0])[1]).toBeCloseTo(-3, 4);
    for (const r of fit.residuals) expect(r.length).toBeLessThan(1e-4);
    expect(fit.redundancy).toBe(5);
    expect(fit.oddity).toBe('none');
    expect(fit.suspect).toBeNull();
  });

  it('skew from diagonals', () => {
    // Derived: asin((2683.78² − 2682.78²)/(4·1200·2400)) = 4.6585e-4 rad.
    expect(skewFromDiagonals(1200, 2400, 2683.78, 2682.78)).toBeCloseTo(4.6585e-4, 8);
    expect(1200 * skewFromDiagonals(1200, 2400, 2683.78, 2682.78)).toBeCloseTo(0.559, 3);
    expect(skewFromDiagonals(3, 4, 5, 5)).toBe(0);
    expect(() => skewFromDiagonals(3, 4, 9, 1)).toThrow(/measure them again/);
    expect(() => skewFromDiagonals(0, 4, 5, 5)).toThrow(RangeError);
  });
});

describe('fits against a general linear-algebra library', () => {
  const random = seededRandom(61);
  const sets = Array.from({ length: 20 }, (_, i) =>
    measured(
      Array.from({ length: 3 + (i % 8) }, (): Point => [3000 * random() - 500, 2000 * random() + 4000]),
      (p) => applyTransform(rotation(random() * 6, [100, 900]), p),
      5,
      i,
    ),
  );

  it('affine: least squares by QR', () => {
    for (const pairs of sets) {
      const design = new Matrix(pairs.map((p) => [p.from[0], p.from[1], 1]));
      const solution = new QrDecomposition(design).solve(new Matrix(pairs.map((p) => [...p.to])));
      const { transform: t } = register(pairs, { sigma: 5, model: 'affine' });
      const ours = [[t.a, t.d], [t.b, t.e], [t.c, t.f]]; // biome-ignore format: one line
      for (let r = 0; r < 3; r++) {
        for (let c = 0; c < 2; c++) {
          const scale = r === 2 ? 1e-6 : 1e-10;
          expect(Math.abs(ours[r]![c]! - solution.get(r, c))).toBeLessThan(scale * 100);
        }
      }
    }
  });

  it('rigid: orthogonal Procrustes by SVD', () => {
    for (const pairs of sets) {
      const mean = (pick: (p: PointPair) => Point): Point => {
        const s = pairs.reduce<Point>(([x, y], p) => [x + pick(p)[0], y + pick(p)[1]], [0, 0]);
        return [s[0] / pairs.length, s[1] / pairs.length];
      };
      const [f, t] = [mean((p) => p.from), mean((p) => p.to)];
      const x = new Matrix(pairs.map((p) => [p.from[0] - f[0], p.from[1] - f[1]]));
      const y = new Matrix(pairs.map((p) => [p.to[0] - t[0], p.to[1] - t[1]]));
      const svd = new SingularValueDecomposition(y.transpose().mmul(x));
      const flip = Math.sign(
        (svd.leftSingularVectors.get(0, 0) * svd.leftSingularVectors.get(1, 1) -
          svd.leftSingularVectors.get(0, 1) * svd.leftSingularVectors.get(1, 0)) *
          (svd.rightSingularVectors.get(0, 0) * svd.rightSingularVectors.get(1, 1) -
            svd.rightSingularVectors.get(0, 1) * svd.rightSingularVectors.get(1, 0)),
      );
      const r = svd.leftSingularVectors
        .mmul(Matrix.diag([1, flip]))
        .mmul(svd.rightSingularVectors.transpose());
      const { transform } = register(pairs, { sigma: 5, model: 'rigid' });
      expect(transform.a).toBeCloseTo(r.get(0, 0), 12);
      expect(transform.b).toBeCloseTo(r.get(0, 1), 12);
      expect(transform.d).toBeCloseTo(r.get(1, 0), 12);
      expect(transform.e).toBeCloseTo(r.get(1, 1), 12);
    }
  });
});

describe('uncertainty', () => {
  it('four corner marks, closed form', () => {
    // Derived: σ·√(2/n + r²/S) with n = 4: σ·√(2/4) in the middle, σ·√(2/4 + 1/4) at a corner.
    const fit = register(measured(corners, onBed, 0, 1), { sigma: 0.1, model: 'rigid' });
    expect(fit.uncertaintyAt([600, 1200])).toBeCloseTo(2 * 0.1 * Math.sqrt(0.5), 9);
    expect(fit.uncertaintyAt([0, 0])).toBeCloseTo(2 * 0.1 * Math.sqrt(0.75), 9);
  });

  it.each([['translation'], ['rigid'], ['similarity'], ['affine']] as const)(
    '%s: 20 000 simulated surveys',
    (model) => {
      const noise = normal(seededRandom(62));
      const marks: Point[] = [...corners, [400, 900]];
      const at: Point = [1500, -200];
      const sigma = 0.1;
      const trials = 20_000;
      let squares = 0;
      let residuals = 0;
      let stated = 0;
      for (let k = 0; k < trials; k++) {
        const pairs = marks.map((p, i) => ({
          id: `${i}`,
          from: p,
          to: [p[0] + sigma * noise(), p[1] + sigma * noise()] as const,
        }));
        const fit = register(pairs, { sigma: 100, model });
        const [x, y] = applyTransform(fit.transform, at);
        squares += (x - at[0]) * (x - at[0]) + (y - at[1]) * (y - at[1]);
        residuals += fit.residuals.reduce((sum, r) => sum + r.length * r.length, 0) / fit.redundancy;
        stated = (fit.uncertaintyAt(at) / 2 / 100) * sigma;
      }
      // 20 000 trials leave about 1 % of noise on a standard deviation.
      expect(Math.sqrt(squares / trials) / stated).toBeCloseTo(1, 1);
      expect(Math.abs(Math.sqrt(squares / trials) / stated - 1)).toBeLessThan(0.02);
      expect(Math.abs(Math.sqrt(residuals / trials) / sigma - 1)).toBeLessThan(0.02);
    },
  );

  it('uses what the residuals say where they contradict the stated sigma', () => {
    const fit = register(measured(eight, onBed, 0.5, 3), { sigma: 0.05, model: 'rigid' });
    expect(fit.sigmaFound!).toBeGreaterThan(0.25);
    expect(fit.uncertaintyAt([600, 1200])).toBeCloseTo(2 * fit.sigmaFound! * Math.sqrt(2 / 8), 9);
  });
});

describe('choice of the model', () => {
  it('by the number of marks', () => {
    expect(register(measured(corners.slice(0, 1), onBed, 0.05, 4), { sigma: 0.05 })).toMatchObject({
      model: 'translation',
      redundancy: 0,
      sigmaFound: null,
    });
    expect(register(measured(corners.slice(0, 2), onBed, 0.05, 4), { sigma: 0.05 })).toMatchObject({
      model: 'rigid',
      redundancy: 1,
    });
    expect(register(measured(corners.slice(0, 3), onBed, 0.05, 4), { sigma: 0.05 })).toMatchObject({
      model: 'rigid',
      redundancy: 3,
    });
  });

  it('stays rigid on good surveys: at most one false alarm in fifty', () => {
    let richer = 0;
    let blamed = 0;
    for (let seed = 0; seed < 500; seed++) {
      const fit = register(measured(eight, onBed, 0.05, 1000 + seed), { sigma: 0.05 });
      if (fit.model !== 'rigid') richer++;
      if (fit.suspect !== null) blamed++;
      expect(fit.oddity).toBe('none');
    }
    expect(richer).toBeLessThan(10);
    expect(blamed).toBeLessThan(10);
  });

  it('finds a bed that is out of square, and by how much', () => {
    // Skew of 1 mrad: 2.4 mm over the length.
    for (let seed = 0; seed < 50; seed++) {
      const marks = seed % 2 === 0 ? corners : eight;
      const fit = register(
        measured(marks, (p) => onBed([p[0] + 0.001 * p[1], p[1]]), 0.05, seed),
        { sigma: 0.05 },
      );
      expect(fit.model).toBe('affine');
      expect(fit.skew).toBeCloseTo(0.001, 3);
      expect(Math.abs(fit.skew - 0.001)).toBeLessThan(2e-4);
      expect(fit.suspect).toBeNull();
    }
  });

  it('finds a scale, from three marks on', () => {
    const fit = register(
      measured(corners.slice(0, 3), (p) => onBed([1.001 * p[0], 1.001 * p[1]]), 0.01, 6),
      { sigma: 0.01 },
    );
    expect(fit.model).toBe('similarity');
    expect(fit.scaleX).toBeCloseTo(1.001, 4);
  });

  it('refuses what the points cannot determine', () => {
    expect(() => register([], { sigma: 1 })).toThrow(/no points/);
    expect(() => register(measured(corners, onBed, 0, 1), { sigma: 0 })).toThrow(/sigma 0/);
    expect(() => register(measured(corners.slice(0, 1), onBed, 0, 1), { sigma: 1, model: 'rigid' })).toThrow(
      /two different places/,
    );
    expect(() => register(measured(corners.slice(0, 2), onBed, 0, 1), { sigma: 1, model: 'affine' })).toThrow(
      /not on one line/,
    );
    const line: Point[] = [[0, 0], [100, 100], [200, 200], [300, 300]]; // biome-ignore format: one line
    expect(() => register(measured(line, onBed, 0, 1), { sigma: 1, model: 'affine' })).toThrow(RangeError);
    expect(register(measured(line, onBed, 0.01, 1), { sigma: 0.01 }).model).toBe('rigid');
    const same = measured([[5, 5], [5, 5]], onBed, 0, 1); // biome-ignore format: one line
    expect(register(same, { sigma: 1 }).model).toBe('translation');
    expect(() =>
      register([...measured(corners, onBed, 0, 1), ...measured(corners, onBed, 0, 1)], { sigma: 1 }),
    ).toThrow(/listed twice/);
    expect(() => register([{ id: 'a', from: [0, Number.NaN], to: [0, 0] }], { sigma: 1 })).toThrow(/point a/);
  });
});

describe('mistakes are recognised', () => {
  const inch = (p: Point): Point => [p[0] / 25.4, p[1] / 25.4];
  const slips = [
    { name: 'inch-for-mm', factor: 1 / 25.4 },
    { name: 'mm-for-inch', factor: 25.4 },
    { name: 'ten for one', factor: 10 },
  ];

  it.each([2, 3, 4, 8])('units, %i marks', (n) => {
    const marks = eight.slice(0, n);
    expect(
      register(
        measured(marks, (p) => inch(onBed(p)), 0.002, n),
        { sigma: 0.05, slips },
      ).oddity,
    ).toBe('inch-for-mm');
    expect(
      register(
        measured(marks.map(inch), (p) => onBed([p[0] * 25.4, p[1] * 25.4]), 0.05, n),
        { sigma: 0.05, slips },
      ).oddity,
    ).toBe('mm-for-inch');
    const tenfold = measured(marks, (p) => onBed([p[0] * 10, p[1] * 10]), 0.05, n);
    expect(register(tenfold, { sigma: 0.05, slips }).oddity).toBe('ten for one');
    // What nobody names is not looked for: the scale is fitted, or left over in the residuals.
    expect(register(tenfold, { sigma: 0.05 }).oddity).toBe('none');
    expect(register(measured(marks, onBed, 0.05, n), { sigma: 0.05, slips }).oddity).toBe('none');
  });

  it('any two marks exchanged, even exactly opposite ones', () => {
    for (const marks of [corners, corners.slice(0, 3), eight]) {
      for (let i = 0; i < marks.length; i++) {
        for (let j = i + 1; j < marks.length; j++) {
          const pairs = measured(marks, onBed, 0.05, 10 * i + j);
          const wrong = pairs.map((p, k) =>
            k === i ? { ...p, to: pairs[j]!.to } : k === j ? { ...p, to: pairs[i]!.to } : p,
          );
          const { oddity } = register(wrong, { sigma: 0.05 });
          expect(oddity).toEqual({ swapped: [`M${i + 1}`, `M${j + 1}`] });
        }
      }
    }
  });

  it('two marks exchanged among two come out as half a turn', () => {
    const pairs = measured(corners.slice(0, 2), onBed, 0.05, 7);
    const wrong = [
      { ...pairs[0]!, to: pairs[1]!.to },
      { ...pairs[1]!, to: pairs[0]!.to },
    ];
    expect(register(wrong, { sigma: 0.05 }).oddity).toEqual({ swapped: ['M1', 'M2'] });
  });

  it('a mirrored axis', () => {
    for (const marks of [corners, eight, corners.slice(0, 3)]) {
      expect(
        register(
          measured(marks, (p) => [-onBed(p)[0], onBed(p)[1]], 0.05, 8),
          { sigma: 0.05 },
        ).oddity,
      ).toBe('mirrored');
      expect(
        register(
          measured(marks, (p) => [onBed(p)[0], -onBed(p)[1]], 0.05, 8),
          { sigma: 0.05 },
        ).oddity,
      ).toBe('mirrored');
    }
  });

  it('an odd set is fitted rigidly, so that its residuals show', () => {
    const fit = register(
      measured(eight, (p) => inch(onBed(p)), 0.001, 9),
      { sigma: 0.05, slips },
    );
    expect(fit.model).toBe('rigid');
    expect(Math.max(...fit.residuals.map((r) => r.length))).toBeGreaterThan(1000);
  });

  it('one misread mark is named', () => {
    // Derived by simulation (leave one out, blunder of 1 mm at sigma 0.05, 4000 trials): 93 % of three marks,
    // all of four and more.
    for (const [n, least] of [
      [3, 0.85],
      [4, 0.97],
      [5, 0.98],
      [8, 0.98],
    ] as const) {
      // biome-ignore format: one line
      let named = 0;
      let richer = 0;
      const trials = 300;
      for (let seed = 0; seed < trials; seed++) {
        const random = seededRandom(500 + seed);
        const pairs = measured(eight.slice(0, n), onBed, 0.05, 9000 + seed);
        const k = Math.floor(random() * n);
        const angle = 2 * Math.PI * random();
        const wrong = pairs.map((p, i) =>
          i === k ? { ...p, to: [p.to[0] + Math.cos(angle), p.to[1] + Math.sin(angle)] as const } : p,
        );
        const fit = register(wrong, { sigma: 0.05 });
        if (fit.suspect === `M${k + 1}`) named++;
        if (fit.model !== 'rigid') richer++;
      }
      expect(named / trials, `${n} marks`).toBeGreaterThan(least);
      if (n >= 5) expect(richer / trials, `${n} marks`).toBeLessThan(0.02);
    }
  });

  it('a misread digit (10 mm) on a bed that is out of square is named too', () => {
    for (let k = 0; k < 8; k++) {
      const pairs = measured(eight, (p) => onBed([p[0] + 0.001 * p[1], p[1]]), 0.05, 40 + k);
      const wrong = pairs.map((p, i) => (i === k ? { ...p, to: [p.to[0] + 10, p.to[1]] as const } : p));
      expect(register(wrong, { sigma: 0.05 }).suspect).toBe(`M${k + 1}`);
    }
  });
});
