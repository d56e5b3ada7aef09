/** One mistake, one finding: a clean design with one thing put wrong raises just the finding that names it. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { codesIn, findingsIn } from './findings.ts';

const example = (name: string) => readFileSync(`examples/${name}.lobe`, 'utf8');
const berth = example('berth-sign');
/** With room for a greater cam G: the guide of g ends sooner. */
const roomy = berth.replace('segment g { azimuth 270 deg ', 'segment g { azimuth 270 deg   guide 10 mm ');
const lock = example('lock-countdown');
const tally = example('score-tally');
const flag = example('pier-flag');
const signal = example('signal-box');

/** Three gears in a row, whose middle one meshes with both others. */
const chain = (third: string, line: number) => `mechanism Row {
  glyphs lamps
  count off low high
  shaft one { at 0 mm, 40 mm   turns clockwise   leads }
  shaft two { at 0 mm, 0 mm }
  shaft three { at ${third} }
  every gear { module 1 mm   teeth 40   width 5 mm }
  gear first on one { mark 270 deg }
  gear second on two { mark 90 deg, ${line} deg }
  gear third on three { mark ${line + 180} deg }
  mesh first second
  mesh second third
  every cam { base 20 mm }
  every segment { stroke 3 mm   nose 1.5 mm }
  segment left { azimuth 180 deg }
  segment right { azimuth 0 deg }
  cam camL on one level 1 drives left
  cam camR on one level 2 drives right
}

glyphs lamps { segments left right   off = blank   low = left   high = left right }
`;

const changed = (text: string, from: string, to: string): string => {
  expect(text.split(from).length, `"${from}" stands once`).toBe(2);
  return text.replace(from, to);
};

/** What is put wrong, and the code and text that must be told; nothing else may be. */
type Trap = readonly [code: string, at: string, text: string, from: string, to: string];

const traps: readonly Trap[] = [
  ['unknown-symbol', 'Q', berth, '8 9 C "-"', '8 9 Q "-"'],
  ['bad-value', '0', berth, 'upperGear on upper { module 1 mm   teeth 70', 'upperGear on upper { module 1 mm   teeth 0'],
  ['look-alike-symbols', '"-"', berth, 'C = a d e f ', 'C = g '],
  ['missing-segment', 'pier', berth, '{ C = a d e f   "-" = g }', '{ segments h   C = a d e f   "-" = g h }'],
  ['undriven-segment', 'e', berth, 'cam camE on lower level 3 drives e\n', ''],
  ['twice-driven-segment', 'a', berth, 'on upper level 4 drives g', 'on upper level 4 drives g a'],
  ['unlike-segments', 'e', berth, 'level 2 drives c\n  cam camE on lower level 3 drives e', 'level 2 drives c e'],
  ['unused-segment', 'g', berth, 'count 0 1 2 3 4 5 6 7 8 9 C "-" ', 'count 0 1 7 0 C 0 1 7 0 1 7 C '],
  ['needless-cam', 'camB', berth, 'count 0 1 2 3 4 5 6 7 8 9 C "-" ', 'count 0 1 2 3 4 7 8 9 0 1 3 4 '],
  ['bar-astray', '44 mm by 6 mm at 0 mm, 3.5 mm', berth, 'segment g { azimuth 270 deg', 'segment g { azimuth 90 deg'],
  ['short-count', 'count up', flag, 'count down up', 'count up'],
  ['uncounted-symbol', '9', tally, 'raised at 1 3 4 5', 'raised at 1 3 4 5 9'],
  ['long-count', 'count 0 1 2 3 4 5 times 601', tally, 'times 2', 'times 601'],
  ['unreachable-symbol', '3', tally, 'raised at 1 3 4 5', 'raised at 1 4 5'],
  ['unreachable-symbol', '2', tally, 'raised at 1 3 4 5', 'raised at 1 2 3 4 5'],
  ['long-travel', '40 deg', berth, 'level 2 drives b\n', 'level 2 drives b { travel 40 deg }\n'],
  ['overlapping-lobes', 'camG', roomy, '{ travel 26 deg }', '{ base 26 mm   rise 24 deg late -6 deg   fall 24 deg late 6 deg }'],
  ['overlapping-lobes', '40 deg', berth, '{ travel 26 deg }', '{ travel 40 deg }'],
  ['overlapping-lobes', '70 deg', berth, 'travel 25 deg', 'travel 70 deg'],
  ['overlapping-lobes', '40 deg', tally, 'travel 25 deg', 'travel 40 deg'],
  ['overlapping-lobes', '38 deg', roomy, '{ travel 26 deg }', '{ base 26 mm   rise 36 deg late -1 deg   fall 38 deg late 1 deg }'],
  ['shaft-drift', '71', berth, 'gear lowerGear on lower { module 1 mm   teeth 70', 'gear lowerGear on lower { module 1 mm   teeth 71'],
  ['step-mismatch', '10', berth, 'teeth 12', 'teeth 10'],
  ['turn-direction', 'clockwise', berth, 'turns counterclockwise', 'turns clockwise'],
  ['turn-direction', 'counterclockwise', berth, 'turns clockwise   ', 'turns counterclockwise   '],
  ['marks-apart', '126 deg', berth, 'mark 90 deg', 'mark 126 deg'],
  ['unmeshed-shaft', 'lower', berth, 'mesh upperGear lowerGear { backlash 0.12 mm }', ''],
  ['unlike-gears', '1.25 mm', berth, 'lowerGear on lower { module 1 mm', 'lowerGear on lower { module 1.25 mm'],
  ['centre-distance', '0 mm, -centres / 2', berth, 'let centres = 70 mm', 'let centres = 71 mm'],
  ['level-clash', '2', berth, 'cam camF on upper level 3', 'cam camF on upper level 2'],
  ['steep-cam', '4 mm', berth, 'level 2 drives b\n', 'level 2 drives b { base 4 mm }\n'],
  ['steep-cam', '12 mm', berth, 'base 22 mm', 'base 12 mm'],
  ['steep-cam', '19 mm', berth, 'base 22 mm   law simple harmonic', 'base 19 mm   law polynomial 3-4-5'],
  ['steep-cam', '7 mm', berth, 'level 2 drives b\n', 'level 2 drives b { base 7 mm }\n'],
  ['steep-cam', '9.5 mm', berth, 'base 22 mm', 'base 9.5 mm'],
  ['thin-cam', '22 mm', berth, 'outer 18 mm', 'outer 43 mm'],
  ['thin-cam', '22 mm', berth, 'outer 18 mm', 'outer 48 mm'],
  ['undercut-cam', '11 mm', berth, 'segment c { azimuth 0 deg', 'segment c { azimuth 0 deg   nose 11 mm'],
  ['undercut-cam', '11 mm', berth, 'nose 1.5 mm', 'nose 11 mm'],
  ['large-nose', '5 mm', berth, 'segment c { azimuth 0 deg', 'segment c { azimuth 0 deg   nose 5 mm'],
  ['large-nose', '5 mm', signal, 'nose 1.5 mm', 'nose 5 mm'],
  ['thin-cam', '55 mm', signal, 'outer 16 mm', 'outer 55 mm'],
  ['thin-cam', '17 mm', lock, 'across 8 mm', 'across 29 mm'],
  ['key-ambiguous', 'square', berth, 'shape flat   outer 18 mm', 'shape square   across 14 mm'],
  ['key-ambiguous', '1', signal, 'master 2', 'master 1'],
  ['tight-fit', '0.1 mm', berth, 'fit 0.2 mm', 'fit 0.1 mm'],
  ['tight-fit', '0.05 mm', berth, 'outer 18 mm   clearance 0.1 mm', 'outer 18 mm   clearance 0.05 mm'],
  ['tight-fit', '0.1 mm', berth, 'turns clockwise   key dee   bearing 10 mm clearance 0.2 mm', 'turns clockwise   key dee   bearing 10 mm clearance 0.1 mm'],
  ['undercut-gear', '14', berth, 'gear upperGear on upper { module 1 mm   teeth 70   width 5 mm   mark 270 deg }\n  gear lowerGear on lower { module 1 mm   teeth 70 ', 'every gear { teeth 14 }\n  gear upperGear on upper { module 5 mm   width 5 mm   mark 270 deg }\n  gear lowerGear on lower { module 5 mm '],
  ['weak-mesh', '8', berth, 'gear upperGear on upper { module 1 mm   teeth 70   width 5 mm   mark 270 deg }\n  gear lowerGear on lower { module 1 mm   teeth 70 ', 'every gear { teeth 8   pressure angle 30 deg }\n  gear upperGear on upper { module 70 mm / 8   width 5 mm   mark 270 deg }\n  gear lowerGear on lower { module 70 mm / 8 '],
  ['missing-value', 'camA', berth, 'cam camA on upper level 1 drives a', 'cam camA on upper drives a'],
  ['missing-value', 'PierFlag', flag, 'count down up\n', ''],
  ['missing-value', 'lifter', flag, 'base 14 mm   ', ''],
  ['missing-value', 'flag', flag, 'azimuth 90 deg\n', '\n'],
  ['missing-value', 'lowerGear', berth, 'lowerGear on lower { module 1 mm   teeth 70', 'lowerGear on lower { module 1 mm'],
  ['crossed-limits', '90 %', berth, 'shown 90 %   hidden 10 %', 'shown 90 %   hidden 95 %'],
  ['second-driver', 'other', berth, 'bought 4', 'ratchet other on lower { teeth 12 }\n  bought 4'],
  ['needless-accept', 'accept steep-cam "checked"', berth, 'bought 4', 'accept steep-cam "checked"\n  bought 4'],
  ['needless-accept', 'accept step-cam on camA "checked"', berth, 'bought 4', 'accept step-cam on camA "checked"\n  bought 4'],
]; // biome-ignore format: a table

describe('one mistake, one finding', () => {
  it.each(['berth-sign', 'pier-flag', 'score-tally', 'signal-box', 'weir-gauge'])('%s is clean', (name) => {
    expect(findingsIn(example(name)).filter(({ accepted }) => accepted === undefined)).toEqual([]);
  });

  it('the idler of lock-countdown is worth knowing, and no more', () => {
    const standing = findingsIn(lock).filter(({ accepted }) => accepted === undefined);
    expect(standing.map(({ code, severity, at }) => [code, severity, at])).toEqual([
      ['shaft-drift', 'information', '20'],
    ]);
  });

  it('teeth clash where all marks meet but a gear cannot suit both its neighbours', () => {
    // Its idler lies over the cams of its neighbours.
    expect(new Set(codesIn(chain('40 mm, 0 mm', 0)))).toEqual(new Set(['rubbing-levels']));
    const [clash, ...others] = findingsIn(chain('34.641 mm, -20 mm', -30));
    expect(others).toEqual([]);
    expect(clash.code).toBe('teeth-clash');
    // 40 teeth, 120° between the lines: 13 1/3 pitches; derived.
    expect(clash.figures.phase).toBeCloseTo(-1 / 3, 3);
    expect(clash.message).toContain('3° further round');
  });

  it.each(traps)('%s at %s', (code, at, text, from, to) => {
    const found = findingsIn(changed(text, from, to)).filter(
      ({ severity, accepted }) => severity !== 'information' && accepted === undefined,
    );
    expect(
      found.map((one) => `${one.code} at ${one.at}`),
      found.map(({ message }) => message).join('\n'),
    ).toEqual([`${code} at ${at}`]);
  });
});
