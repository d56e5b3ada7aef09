import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Mechanism } from '../../language/mechanism.ts';
import { type Figures, reckon } from '../../server/reckon/figures.ts';
import { leading, weighed } from '../../server/search/seen.ts';
import { seenIn } from '../../server/search/seen-text.ts';
import { type SymptomTable, symptomsOf } from '../../server/search/symptoms.ts';
import { example, mechanismsIn } from '../designs.ts';
import { facesBuilt } from './misbuilt.ts';

// No published values: what a fault shows is derived here by brute force, apart from the lift program.

interface Case {
  readonly m: Mechanism;
  readonly figures: Figures;
  readonly table: SymptomTable;
}

function tabled(m: Mechanism): Case {
  const figures = reckon(m);
  const table = symptomsOf(m, figures);
  if ('because' in table) throw new Error(table.because);
  return { m, figures, table };
}

/** Noses off their line, flat faces, an arm; a key of three joined teeth; two bars of one piece; half speed; bases unlike. */
const oddFollowers = `mechanism Odd {
  made with filament
  glyphs four
  count 0 1 2 3 4 5

  shaft fast { at 0 mm, 40 mm   turns clockwise   leads   key spline   bearing 10 mm }
  shaft slow { at 0 mm, -50 mm   bearing 10 mm }
  key spline { shape splined   teeth 12   master 3   outer 14 mm   inner 11 mm }
  gear small on fast { module 1.5 mm   teeth 40   width 5 mm   mark 270 deg }
  gear large on slow { module 1.5 mm   teeth 80   width 5 mm   mark 90 deg }
  mesh small large

  every segment { stroke 4 mm   nose 2 mm   guide 14 mm }
  segment a { azimuth 90 deg   offset 5 mm   bar 30 mm by 6 mm at 0 mm, 90 mm   shown raised }
  segment b { azimuth 0 deg   follower flat   bar 6 mm by 30 mm at 60 mm, 40 mm   shown raised }
  segment c { azimuth 180 deg   follower pivoted at -20 mm, 80 mm arm 40 mm   bar 6 mm by 30 mm at -60 mm, 40 mm   shown lowered }
  segment d { azimuth 0 deg   bar 6 mm by 30 mm at 60 mm, -50 mm   shown raised }
  segment e { azimuth 0 deg   bar 6 mm by 10 mm at 70 mm, -50 mm   shown lowered }
  segment f { azimuth 200 deg   offset -3 mm   nose 2.5 mm   bar 6 mm by 30 mm at -60 mm, -70 mm   shown raised }

  every cam { base 24 mm   travel 50 deg   thickness 3 mm   flange 1 mm }
  cam camA on fast level 1 drives a
  cam camB on fast level 2 drives b { base 30 mm   travel 55 deg }
  cam camC on fast level 3 drives c { travel 58 deg }
  cam camD on slow level 1 drives d e { travel 26 deg }
  cam camF on slow level 2 drives f { travel 26 deg   base 25 mm }

  spring coils { returns a b c f   rate 0.1 N/mm   preload 1 N }
  spring both { returns d   rate 0.1 N/mm   preload 1.5 N }
}
glyphs four { segments a b c d f   0 = a b   1 = b c d   2 = c f   3 = a d   4 = a b c f   5 = d f }
`;

const examples = [
  'pier-flag',
  'berth-sign',
  'lock-countdown',
  'score-tally',
  'signal-box',
  'weir-gauge',
  'wrong-on-purpose',
];
const cases = new Map([
  ...examples.map((name) => [name, tabled(example(name)[0]!)] as const),
  ['odd followers', tabled(mechanismsIn(oddFollowers)[0]!)] as const,
]);

describe.each([...cases.keys()])('%s, put together wrongly by brute force', (name) => {
  const { m, figures, table } = cases.get(name)!;

  it('shows what it should when nothing is wrong', () => {
    expect(facesBuilt(m, figures, table.segments)).toEqual(table.right);
  });

  it('shows what the table says of every fault', () => {
    for (const { faults, faces } of table.groups) {
      for (const fault of faults) {
        expect(facesBuilt(m, figures, table.segments, fault), fault.what).toEqual(faces);
      }
    }
  });
});

it('the designs leave nothing untold, and have every kind of fault between them', () => {
  for (const [name, { table }] of cases) expect(table.untold, name).toEqual([]);
  const kinds = [...cases.values()].flatMap(({ table }) =>
    table.groups.flatMap(({ faults }) => faults.map(({ kind }) => kind)),
  );
  expect([...new Set(kinds)].sort()).toEqual(
    [
      'band left out',
      'band off',
      'bars exchanged',
      'cam turned',
      'cam upside down',
      'cams exchanged',
      'gear off',
      'gear turned',
      'gear upside down',
      'gears exchanged',
      'home off',
      'spring left out',
      'stepping blocked',
      'stepping reversed',
      'wheel turned',
    ].sort(),
  );
});

/** What a builder would say who looks at every position: the symbol where there is one, else the bars. */
function said({ segments, symbols, right, glyphs }: SymptomTable, faces: readonly string[]): string {
  const names = (face: string, letter: string) => segments.filter((_, i) => face[i] === letter);
  return faces
    .flatMap((face, i) => {
      if (face === right[i]) return [`#${i} ok`];
      const symbol = Object.hasOwn(glyphs, face) && glyphs[face]![0];
      if (symbol !== false && symbol !== undefined) return [`#${i} shows "${symbol}"`];
      if (!face.includes('-')) return [`#${i} bars ${names(face, '1').join(' ') || 'none'}`];
      return (['shown', 'hidden', 'half'] as const).flatMap((state, k) => {
        const bars = names(face, '10-'[k]!);
        return bars.length ? [`#${i} ${bars.join(' ')} ${state}`] : [];
      });
    })
    .concat(symbols.length > 1 ? [] : ['#0 ok'])
    .join(', ');
}

it('30 faults planted at random over the examples are each in the group that is named for what is then seen', () => {
  const planted = examples.flatMap((name) => {
    const one = cases.get(name)!;
    return one.table.groups.flatMap(({ faults }) => faults.map((fault) => ({ ...one, fault })));
  });
  const lots = fc.sample(fc.uniqueArray(fc.nat(planted.length - 1), { minLength: 30, maxLength: 30 }), 1)[0]!;
  for (const { m, figures, table, fault } of lots.map((i) => planted[i]!)) {
    const seen = seenIn(said(table, facesBuilt(m, figures, table.segments, fault)), table);
    if ('because' in seen) throw new Error(seen.because);
    const fit = leading(weighed(table, seen));
    expect(fit, fault.what).toHaveLength(1);
    expect(fit[0]!.fits).toHaveLength(seen.length);
    expect(table.groups[fit[0]!.groups[0]!]!.faults).toContain(fault);
  }
});

it('the table of a numeral takes less than half a second of processor time', () => {
  const { m, figures } = cases.get('lock-countdown')!;
  const least = Math.min(
    ...Array.from({ length: 3 }, () => {
      const before = process.cpuUsage();
      symptomsOf(m, figures);
      const { user, system } = process.cpuUsage(before);
      return (user + system) / 1e6;
    }),
  );
  expect(least).toBeLessThan(0.5);
});
