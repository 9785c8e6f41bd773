import assert from 'node:assert/strict';
import { readProgram, type Trace } from '@bedledger/checker';
import { post } from '@bedledger/posts';
import fc from 'fast-check';
import { anyController, anyProgram } from '../../packages/posts/src/testing/arbitrary.ts';
import type { Motion } from '../../packages/posts/src/testing/naive-reader.ts';
import { difference } from '../../packages/posts/src/testing/same-path.ts';

// The post and the reader were written apart and neither can import the other: any program on any controller must come
// back as the same motions, without a finding that would stop it.
function motionsOf(trace: Trace, zeroHeight: number): Motion[] {
  const motions: Motion[] = [];
  let from: readonly [number, number, number] = [trace.start[0], trace.start[1], trace.start[2] + zeroHeight];
  for (let i = 0; i < trace.length; i++) {
    const to = [trace.x[i]!, trace.y[i]!, trace.z[i]! + zeroHeight] as const;
    const arc = trace.kind[i] === 2;
    motions.push({
      kind: arc ? 'arc' : trace.kind[i] === 0 ? 'rapid' : 'feed',
      from,
      to,
      line: trace.line[i]!,
      ...(arc ? { centre: [trace.c1[i]!, trace.c2[i]!] as const, clockwise: trace.sweep[i]! < 0 } : {}),
      feed: trace.feed[i]!,
      spindle: trace.rpm[i]!,
      fromCycle: (trace.flags[i]! & 2) !== 0,
    });
    from = to;
  }
  return motions;
}

/** Any program on any controller comes back from the checker's reader as the same motions, without a stop. */
export function readBack(count: (motions: number) => void = () => {}) {
  return fc.property(anyProgram, anyController, (program, controller) => {
    const [file] = post(program, controller);
    const trace = readProgram(file!.text, `programs/${file!.name}`, controller);
    const stops = trace.findings.filter((f) => f.severity === 'stop');
    assert.equal(stops.length === 0 ? '' : `${JSON.stringify(stops[0])}\n${file!.text}`, '');
    assert.equal(trace.understood, true);
    const wrong = difference(program, controller, motionsOf(trace, program.header.zeroHeight));
    assert.equal(wrong === null ? '' : `${wrong}\n${file!.text}`, '');
    count(trace.length);
  });
}
