import { describe, expect, it } from 'vitest';
import { reckon } from '../../../server/reckon/figures.ts';
import { type SymptomTable, symptomsOf } from '../../../server/search/symptoms.ts';
import { example, mechanismsIn } from '../../designs.ts';
import { mechanism } from '../../mechanisms.ts';

function tableOf(text: string): SymptomTable {
  const m = mechanismsIn(text)[0]!;
  const table = symptomsOf(m, reckon(m));
  if ('because' in table) throw new Error(table.because);
  return table;
}

/** The faces of a fault, as the symbols or bars that are then shown. */
function shown(table: SymptomTable, what: RegExp): string {
  const group = table.groups.find(({ faults }) => faults.some((fault) => what.test(fault.what)));
  if (!group) throw new Error(`no fault is called ${what}`);
  return group.faces.join(' ');
}
const whats = (table: SymptomTable) => table.groups.flatMap(({ faults }) => faults.map(({ what }) => what));
const ruledOut = (table: SymptomTable) => table.impossible.map(({ what, because }) => `${what}: ${because}`);

/** Four rests, two bars, one clockwise shaft. */
const lamps = (
  more: { key?: string; cams?: string; returns?: string; rest?: string; count?: string } = {},
) => `mechanism Lamps {
  made with filament
  glyphs lamps
  count ${more.count ?? 'p q r s'}
  shaft axle { at 0 mm, 0 mm   turns clockwise   ${more.key === '' ? '' : 'key k   '}bearing 10 mm }
  ${more.key ?? 'key k { shape flat   outer 10 mm   clearance 0.1 mm }'}
  every segment { stroke 4 mm   nose 2 mm   guide 14 mm   shown raised }
  segment x { azimuth 0 deg   bar 6 mm by 20 mm at 40 mm, 0 mm   hook 30 mm, 0 mm }
  segment y { azimuth 90 deg   bar 20 mm by 6 mm at 0 mm, 40 mm   hook 0 mm, 30 mm }
  ${more.cams ?? 'cam camX on axle level 1 drives x { base 20 mm }\n  cam camY on axle level 2 drives y { base 20 mm }'}
  ${more.returns ?? 'spring coils { returns x y   rate 0.1 N/mm   preload 1 N }'}
  ${more.rest ?? 'ratchet click on axle { teeth 4   play 1 deg   hold 40 Nmm }'}
}
glyphs lamps { segments x y   p = x   q = x y   r = y   s = blank }
`;

describe('a design small enough to turn in the head', () => {
  // The shaft turns clockwise by 90° a step, so that the cam angle under x goes 0°, 90°, 180°, 270°; camX is up from 0° to
  // 90°. y stands at 90°: its cam angles go 90°, 180°, 270°, 0°; it is up at q and r: at 180° and 270°.
  const table = tableOf(lamps());

  it('shows what it should', () => {
    expect(table.right).toEqual(['10', '11', '01', '00']);
    expect(table.glyphs).toEqual({ 10: ['p'], 11: ['q'], '01': ['r'], '00': ['s'] });
  });

  it('a cam upside down is mirrored about its key', () => {
    // camX turned over is up from −90° to 0°: at p and s.
    expect(shown(table, /^camX is upside down$/)).toBe('10 01 01 10');
    // camY, up from 180° to 270°, turned over from 90° to 180°: at p and q.
    expect(shown(table, /^camY is upside down$/)).toBe('11 11 00 00');
  });

  it('two cams exchanged each do under the other bar what they are cut for', () => {
    // camY under x: up where the angle at 0° is 180° or 270°: r, s. camX under y: up at 90°, and at 0°: p and s.
    expect(shown(table, /^camX and camY are exchanged$/)).toBe('01 00 10 11');
  });

  it('a bar whose spring is left out stays up', () => {
    expect(shown(table, /^the spring of x \(coils\)/)).toBe('10 11 11 10');
  });

  it('stepping the other way counts backwards, and home a step off is a step off everywhere', () => {
    expect(shown(table, /^click is built for the other direction/)).toBe('10 00 01 11');
    expect(shown(table, /^home of axle is set a step too far on/)).toBe('11 01 00 10');
    expect(shown(table, /^home of axle is set a step too early/)).toBe('00 10 11 01');
  });

  it('says what the key keeps from happening', () => {
    expect(ruledOut(table)).toEqual([
      'a cam of axle turned by a step or a key place: key k goes on in one way',
      'the wheel of click turned on its shaft: key k goes on in one way',
    ]);
  });

  it('groups what looks the same, and knows what only home tells apart', () => {
    // Bars x and y have one shape, a level apart: each rides on the other's cam.
    const group = table.groups.find(({ faults }) => faults.some(({ what }) => what === 'camX and camY are exchanged'))!;
    expect(group.faults.map(({ what }) => what)).toEqual(['camX and camY are exchanged', 'bars x and y are exchanged']);
    const first = table.groups[0]!;
    expect(first.spoilt).toEqual([]);
    const kin = first.kin.flatMap((index) => table.groups[index]!.faults.map(({ what }) => what));
    expect(kin).toContain('home of axle is set a step too early');
  });
});

describe('keys and hands', () => {
  it('a square key lets a cam on turned by every step of a quarter', () => {
    const table = tableOf(lamps({ key: 'key k { shape square   across 8 mm   clearance 0.1 mm }' }));
    expect(
      whats(table)
        .filter((what) => /^camX is turned/.test(what))
        .sort(),
    ).toEqual([
      'camX is turned by 180° (2 steps) on key k',
      'camX is turned by 90° clockwise (a step) on key k',
      'camX is turned by 90° counter-clockwise (a step) on key k',
    ]);
    // Turned by 90° counter-clockwise it is up from 90° to 180°: at q and r.
    expect(shown(table, /^camX is turned by 90° counter-clockwise/)).toBe('00 11 11 00');
    // Its lobe lies about 45°, so that turned over and on by 90° it is the same.
    expect(whats(table).filter((what) => /^camX is upside down/.test(what))).toHaveLength(3);
    // The wheel's teeth stand alike every quarter.
    expect(ruledOut(table)).toContain(
      'the wheel of click turned on its shaft: its 4 teeth stand alike in all 4 ways of key k',
    );
  });

  it('a hexagon does not let it on by just a step', () => {
    const table = tableOf(lamps({ key: 'key k { shape hexagon   across 8 mm   clearance 0.1 mm }' }));
    expect(ruledOut(table)).toContain('a cam of axle just a step (90°) off: key k goes on every 60°');
    expect(whats(table)).toContain('camX is turned by 180° (2 steps) on key k');
    // Four teeth on six ways: 60° is two thirds of a tooth.
    expect(whats(table).filter((what) => /^the wheel of click is turned/.test(what))).toHaveLength(4);
  });

  it('without a key a cam may stand at any rest, either side up', () => {
    const table = tableOf(lamps({ key: '' }));
    const turned = whats(table).filter((what) => /^camX is turned/.test(what));
    expect(turned).toContain('camX is turned by 90° counter-clockwise (a step) on its shaft');
    expect(turned).toHaveLength(3);
    expect(whats(table).filter((what) => /^camX is upside down/.test(what))).toHaveLength(3);
  });

  it('a cam that is round, or its own mirror image, cannot be put on wrongly', () => {
    const round = tableOf(lamps({ count: 'p q' }).replace('x y   p = x', 'x y   p = x y'));
    expect(ruledOut(round)).toContain('camX turned or upside down: it is round, the same any way');
    const mirrored = tableOf(
      lamps({
        cams: 'cam camX on axle level 1 drives x { base 20 mm   lobe from -30 deg to 30 deg flank 40 deg }\n  cam camY on axle level 2 drives y { base 20 mm }',
      }),
    );
    expect(ruledOut(mirrored)).toContain('camX upside down: turned over it is the same cam');
  });

  it('a key that cannot be reckoned is said, and nothing is guessed of it', () => {
    const table = tableOf(lamps({ key: 'key k { shape flat   outer 10 mm   inner 9.9 mm   clearance 0.5 mm }' }));
    expect(table.untold.map(({ of }) => of)).toEqual(['camX', 'camY']);
    expect(whats(table).some((what) => /upside down|turned/.test(what))).toBe(false);
    expect(whats(table)).toContain('camX and camY are exchanged');
  });

  it('cams of unlike thickness stand what lies between them off, and do not go between shafts', () => {
    const table = tableOf(
      lamps({
        cams: 'cam camX on axle level 1 drives x { base 20 mm   thickness 4 mm }\n  cam camY on axle level 2 drives y { base 20 mm }',
      }),
    );
    const fault = table.groups.flatMap(({ faults }) => faults).find(({ kind }) => kind === 'cams exchanged');
    expect(fault?.note).toBe('what lies between them then stands 1 mm off');
    const box = tableOf(
      `${lamps({
        key: 'shaft other { at 90 mm, 0 mm   key k }\n  key k { shape flat   outer 10 mm   clearance 0.1 mm }',
        cams: 'cam camX on axle level 1 drives x { base 20 mm   thickness 4 mm }\n  cam camY on other level 2 drives y { base 20 mm }',
      })}`,
    );
    expect(ruledOut(box)).toContain('camX exchanged for camY: they are 5.2 mm and 4.2 mm thick');
  });
});

describe('loops and springs', () => {
  /** Two hooks and a post behind the shaft; a loop long enough to be slack with one hook off, or not. */
  const band = (loop: number) =>
    `post back { at -20 mm, -20 mm   radius 3 mm }\n  band rim { around back, x, y   section 1.5 mm by 1 mm   loop ${loop} mm   shear 0.5 MPa }`;

  it('a loop off a hook lets that bar hang', () => {
    const table = tableOf(lamps({ returns: band(90) }));
    expect(shown(table, /^rim is off the hook of x$/)).toBe('10 11 11 10');
    expect(shown(table, /^rim is left out$/)).toBe('11 11 11 11');
  });

  it('a loop that is slack with one hook off lets the other bar hang as well', () => {
    const table = tableOf(lamps({ returns: band(122) }));
    const fault = table.groups.flatMap(({ faults }) => faults).find(({ what }) => what === 'rim is off the hook of x');
    expect(fault?.note).toBe('bar y then hangs as well');
    expect(shown(table, /^rim is off the hook of x$/)).toBe('11 11 11 11');
  });

  it('of a loop whose pull is not known, only the bar that is off it hangs', () => {
    const table = tableOf(lamps({ returns: 'band rim { around x, y }' }));
    expect(shown(table, /^rim is off the hook of x$/)).toBe('10 11 11 10');
  });

  it('a bar heavy enough to come down by itself needs no spring', () => {
    // 200 g · 9.81 N/kg = 2 N, towards the shaft of y (at 90°), across x (at 0°).
    const table = tableOf(lamps().replace(/shown raised \}/, 'shown raised   mass 200 g }'));
    expect(table.groups[0]!.faults.map(({ what }) => what)).toEqual(['the spring of y (coils) is left out']);
  });

  it('a bar with a spring of another piece is still drawn', () => {
    const table = tableOf(
      lamps({
        returns:
          'spring one { returns x y   rate 0.1 N/mm   preload 1 N }\n  spring two { returns x   rate 0.1 N/mm   preload 1 N }',
      }),
    );
    expect(table.groups[0]!.faults.map(({ what }) => what)).toEqual([
      'the spring of x (one) is left out',
      'the spring of x (two) is left out',
    ]);
  });

  it('a design that says no return has none to leave out', () => {
    expect(ruledOut(tableOf(lamps({ returns: '' })))).toContain('a spring or a loop left out: the design says none');
  });
});

describe('stepping', () => {
  it('of a push and a ratchet, one alone built the other way cannot be stepped', () => {
    const table = tableOf(
      lamps({
        rest: 'ratchet click on axle { teeth 4   play 1 deg   hold 40 Nmm }\n  push knob turns axle { arm 10 mm   start -45 deg   stroke 15 mm }',
      }),
    );
    expect(shown(table, /^click and knob are built for the other direction$/)).toBe('10 00 01 11');
    expect(shown(table, /^click is built for the other direction, knob is not$/)).toBe('10 10 10 10');
  });

  it('either way, or by nothing, has no wrong direction', () => {
    expect(ruledOut(tableOf(lamps({ rest: 'runs either\n  ratchet click on axle { teeth 4 }' })))).toContain(
      'the stepping built for the other direction: it runs either way',
    );
    expect(ruledOut(tableOf(lamps({ rest: '' })))).toContain(
      'the stepping built for the other direction: no ratchet and no push step it',
    );
  });

  it('home too far on is as the build counts', () => {
    const table = tableOf(lamps({ rest: 'runs reverse\n  ratchet click on axle { teeth 4 }' }));
    // Counting p, s, r, q: a step too far on shows s at p.
    expect(shown(table, /^home of axle is set a step too far on/)).toBe('00 10 11 01');
  });
});

describe('what is half written', () => {
  it.each([
    ['nothing', mechanism({}), /says no count/],
    [
      'no cam',
      mechanismsIn('mechanism M { glyphs decimal   count 0 1   segment a { azimuth 0 deg } }')[0]!,
      /has no cam/,
    ],
    [
      'cams without shafts',
      mechanismsIn(
        'mechanism M { glyphs decimal   count 0 1   segment a { azimuth 0 deg }   cam c on s level 1 drives a }',
      )[0]!,
      /no bar of M is reckoned yet/,
    ],
  ])('%s: says why there is no table', (_, m, why) => {
    const table = symptomsOf(m, reckon(m));
    expect('because' in table && table.because).toMatch(why);
  });

  it('without sizes says what cannot be simulated, and does the rest', () => {
    const m = mechanismsIn(
      lamps({
        cams: 'cam camX on axle level 1 drives x { base 20 mm }\n  cam camY on axle level 2 drives y',
      }),
    )[0]!;
    const table = symptomsOf(m, reckon(m));
    if ('because' in table) throw new Error(table.because);
    expect(table.untold).toContainEqual({ of: 'camX and camY are exchanged', because: 'camY does not say its base' });
    expect(whats(table)).toContain('camY is upside down');
  });

  it('never throws of any part of an example', () => {
    for (const name of ['berth-sign']) {
      const m = example(name)[0]!;
      for (const kind of [
        'shafts',
        'keys',
        'gears',
        'meshes',
        'segments',
        'cams',
        'springs',
        'ratchets',
        'pushes',
      ] as const) {
        for (let i = 0; i < m[kind].length; i++) {
          const less = { ...m, [kind]: (m[kind] as readonly unknown[]).filter((_, k) => k !== i) };
          expect(symptomsOf(less, reckon(less)).name).toBe(m.name);
        }
        const none = { ...m, [kind]: [] };
        expect(symptomsOf(none, reckon(none)).name).toBe(m.name);
      }
    }
  });

  it('is told of a count of some hundred positions in no time', () => {
    const m = example('berth-sign')[0]!;
    const long = { ...m, count: { ...m.count!, times: 20 } };
    const figures = reckon(long);
    const before = process.cpuUsage();
    const table = symptomsOf(long, figures);
    const { user } = process.cpuUsage(before);
    expect('groups' in table && table.symbols).toHaveLength(240);
    expect(user / 1e6).toBeLessThan(3);
  });

  it('is plain data', () => {
    const m = example('berth-sign')[0]!;
    const table = symptomsOf(m, reckon(m));
    expect(JSON.parse(JSON.stringify(table))).toEqual(table);
  });
});
