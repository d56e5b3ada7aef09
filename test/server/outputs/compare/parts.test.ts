/** What becomes of parts, and where old and new ones meet. */
import { describe, expect, it } from 'vitest';
import type { Fate } from '../../../../server/outputs/compare/fates.ts';
import { releasesOf, releasesText } from '../../../../server/outputs/compare/releases.ts';
import { example } from '../chart/designs.ts';
import { compareOne, design } from './sides.ts';

const sign = example('berth-sign');

function fates(old: string, now: string): Partial<Record<Fate, string[]>> {
  const { parts } = compareOne(old, now);
  const changed = [...new Set(parts.map(({ fate }) => fate))].filter((fate) => fate !== 'keeps');
  return Object.fromEntries(
    changed.map((fate) => [fate, parts.filter((part) => part.fate === fate).map(({ name }) => name)]),
  );
}

const because = (old: string, now: string, part: string) =>
  compareOne(old, now).parts.find(({ name }) => name === part)?.because;

describe('a frame', () => {
  const tally = example('score-tally');
  const mixing = (now: string, old = tally) => compareOne(old, now).mixing;

  it('that is thicker goes together with the bars and the shafts that reach through it', () => {
    const { interfaces, together, free } = mixing(tally.replace('margin 5 mm', 'margin 5 mm   thickness 5 mm'));
    expect(free).toBe(false);
    expect(interfaces.find(({ kind }) => kind === 'frame')).toMatchObject({
      same: false,
      because: expect.arrayContaining(['plates 4 → 5 mm']),
    });
    expect(together).toEqual([expect.arrayContaining(['face plate', 'back plate', 'upper', 'lower', 'a', 'g'])]);
  });

  it('that is new, or whose bars are others, goes together with them', () => {
    const bare = tally.replace('frame { margin 5 mm }', '');
    expect(mixing(tally, bare).interfaces.find(({ kind }) => kind === 'frame')!.because).toEqual([
      'there was no frame before',
    ]);
    expect(mixing(tally.replace('40 mm by 6 mm at 0 mm, 62 mm', '36 mm by 6 mm at 0 mm, 62 mm')).together).toEqual([
      expect.arrayContaining(['a', 'face plate']),
    ]);
  });

  it('that is as it was stays out of it', () => {
    expect(mixing(tally.replace('hold 60 Nmm', 'hold 70 Nmm'))).toMatchObject({ free: true, together: [] });
  });
});

describe('a part', () => {
  it('keeps its fingerprint through all that is not its shape', () => {
    for (const now of [
      sign.replace('rate 0.08', 'rate 0.09'),
      sign.replace('push 20 N', 'push 25 N'),
      sign.replace('title "Berth sign"', 'title "Another sign"'),
      sign.replace('hold 60 Nmm', 'hold 70 Nmm'),
    ]) {
      const printed = compareOne(sign, now).parts.filter(({ made }) => made === 'printed');
      expect(new Set(printed.map(({ fate }) => fate))).toEqual(new Set(['keeps']));
    }
  });

  it('fits where it differs between the rests alone', () => {
    const now = sign.replace('travel 26 deg', 'travel 24 deg');
    expect(fates(sign, now)).toEqual({ fits: ['camG'] });
    expect(because(sign, now, 'camG')).toEqual(['travel 26 → 24°']);
    const { parts } = compareOne(sign, now);
    const camG = parts.find(({ name }) => name === 'camG')!;
    expect(camG.fingerprint).toMatch(/^[0-9a-f]{16}$/);
    expect(camG.before).toMatch(/^[0-9a-f]{16}$/);
    expect(camG.before).not.toBe(camG.fingerprint);
  });

  it('is made again where others meet it otherwise', () => {
    const higher = sign.replace('segment e {', 'segment e { stroke 4 mm  ');
    expect(fates(sign, higher).again).toContain('camE');
    expect(because(sign, higher, 'camE')).toEqual(['stroke 3.5 → 4 mm']);
    const face = sign.replace('C = a d e f', 'C = a d e');
    expect(fates(sign, face)).toEqual({ again: ['camF'] });
    expect(because(sign, face, 'camF')).toEqual(['raised at 0 4 5 6 8 9 C → 0 4 5 6 8 9']);
    const bore = sign.replace('outer 18 mm', 'outer 17 mm');
    expect(fates(sign, bore).again).toEqual(
      expect.arrayContaining(['upper', 'lower', 'upperGear', 'lowerGear', 'camA', 'camE', 'lower spacer 4']),
    );
    const thicker = sign.replace('level 2 drives b', 'level 2 drives b { thickness 4 mm }');
    expect(fates(sign, thicker).again).toEqual(expect.arrayContaining(['camB', 'upper', 'lower']));
    const teeth = sign.replaceAll('teeth 70', 'teeth 71').replace('centres = 70 mm', 'centres = 71 mm');
    expect(fates(sign, teeth).again).toEqual(expect.arrayContaining(['upperGear', 'lowerGear']));
  });

  it('of a push or a shape of its own is made again with it, and says of what', () => {
    const longer = sign.replace('stroke 8.2 mm', 'stroke 8.3 mm');
    expect(because(sign, longer, 'button')).toEqual(['stroke 8.2 → 8.3 mm']);
    const wider = sign.replace('base 22 mm', 'base 23 mm');
    expect(fates(sign, wider).again).toEqual(expect.arrayContaining(['camE', 'e']));
    expect(because(sign, wider, 'e')).toEqual(['base under it 22 → 23 mm']);
  });

  it('on a shaft is made again with its bore, and says so; one without a name for its shape tells its size', () => {
    const narrow = sign.replace('outer 18 mm', 'outer 17 mm');
    for (const part of ['stepper', 'button arm'])
      expect(because(sign, narrow, part)![0], part).toMatch(/^bore .*outer 18 mm.* → .*outer 17 mm/);
    const { together } = compareOne(sign, narrow).mixing;
    expect(together).toHaveLength(1);
    expect(together[0]).toEqual(expect.arrayContaining(['upper', 'camA', 'lower spacer 4', 'stepper', 'button arm']));
    const taller = sign.replace('0 mm, 66 mm', '0 mm, 80 mm');
    expect(because(sign, taller, 'button')).toEqual([expect.stringMatching(/^size [\d. a-z]+ mm → [\d. a-z]+ mm$/)]);
  });

  it('of which the bore and the rests are others says both', () => {
    const other = sign.replace('outer 18 mm', 'outer 17 mm').replace('count 0 1 2', 'count 0 2 1');
    expect(because(sign, other, 'camG')).toEqual([expect.stringContaining('bore'), 'other angles of its rests']);
  });

  it('that came or went is new or gone', () => {
    const more = sign.replace(
      '  spring coils',
      '  segment h { azimuth 0 deg   bar 6 mm by 6 mm at 60 mm, 0 mm }\n  cam camH on upper level 5 drives h { raised at 0 }\n\n  spring coils',
    );
    expect(fates(sign, more).new).toContain('camH');
    expect(fates(more, sign).gone).toContain('camH');
  });

  it('that moves keeps its shape, and it is said where it goes', () => {
    const swapped = sign
      .replace('camA on upper level 1', 'camA on upper level 2')
      .replace('camB on upper level 2', 'camB on upper level 1');
    const camA = compareOne(sign, swapped).parts.find(({ name }) => name === 'camA')!;
    expect(camA).toMatchObject({
      fate: 'keeps',
      notes: [expect.stringMatching(/^sits 4\.2 → 8\.4 mm behind the face$/)],
    });
  });

  it('that is bought is got again where it is another, or more of them', () => {
    expect(fates(sign, sign.replace('rate 0.08', 'rate 0.09'))).toEqual({ again: ['coils'] });
    expect(because(sign, sign.replace('bought 4', 'bought 6'), 'M3 x 10 countersunk screw')).toEqual(['number 4 → 6']);
    expect(fates(sign, sign.replace('preload 0.9 N', 'preload 0.8 N'))).toEqual({});
  });
});

describe('old and new parts together', () => {
  const meetings = (old: string, now: string) =>
    compareOne(old, now)
      .mixing.interfaces.filter(({ same }) => !same)
      .map(({ kind, name, because }) => [kind, name, because]);

  it('may be mixed where they meet as before', () => {
    for (const now of [sign.replace('travel 26 deg', 'travel 24 deg'), sign.replace('C = a d e f', 'C = a d e')]) {
      const { mixing } = compareOne(sign, now);
      expect(mixing).toMatchObject({ free: true, together: [] });
      expect(mixing.interfaces.length).toBeGreaterThan(10);
    }
  });

  it.each([
    ['clearance 0.1 mm }', 'clearance 0.15 mm }', [['key', 'key dee', ['clearance 0.1 → 0.15 mm']]]],
    ['centres = 70 mm', 'centres = 70.1 mm', [['mesh', 'mesh upperGear–lowerGear', ['centre distance 70 → 70.1 mm']]]],
    ['6 7 8 9 C', '6 7 9 8 C', [['count', 'what is counted', [expect.stringMatching(/^count /)]]]],
    [
      'bar 6 mm by 44 mm at -31 mm, -35 mm',
      'bar 6 mm by 43 mm at -31 mm, -35 mm',
      [['face', 'the face round bar e', ['bar height 44 → 43 mm', expect.stringMatching(/^post height 44 → 43 mm/)]]],
    ],
    [
      'cam camE on lower level 3 drives e',
      'cam camE on lower level 3 drives e { base 23 mm }',
      [['cam and bar', 'camE and bar e', ['base 22 → 23 mm']]],
    ],
  ])('may not across what is another: %s', (text, other, expected) => {
    expect(sign).toContain(text);
    expect(meetings(sign, sign.replace(text, other))).toEqual(expected);
  });

  it('have their depths', () => {
    const thicker = sign.replace('level 2 drives b', 'level 2 drives b { thickness 4 mm }');
    const [levels] = meetings(sign, thicker);
    expect(levels![0]).toBe('levels');
    expect(levels![2]).toContain('level 2 lies 4.2 mm to 8.4 mm → 4.2 mm to 9.4 mm behind the face');
    expect(levels![2]).toHaveLength(4);
  });

  it('are exchanged in one go where they hang together', () => {
    const order = compareOne(sign, sign.replace('count 0 1 2', 'count 0 2 1'));
    expect(order.mixing.together).toHaveLength(1);
    expect(order.mixing.together[0]).toEqual(expect.arrayContaining(['camA', 'camE']));
    expect(order.mixing.together[0]).not.toContain('upper');
  });
});

describe('releases', () => {
  const versions = {
    v1: sign,
    v2: sign.replace('travel 26 deg', 'travel 24 deg'),
    v3: sign.replace('segment e {', 'segment e { stroke 4 mm  ').replace(/\bcamE\b/g, 'camEast'),
    v4: sign,
  };
  const all = releasesOf([
    ...Object.entries(versions).map(([name, text]) => ({ name, design: design(text) })),
    { name: 'v0', because: 'it has no sign.lobe' },
  ]);

  it('say of every part which fits which', () => {
    const cells = Object.fromEntries(
      all.mechanisms[0]!.parts.map(({ name, made }) => [name, made.map(({ fit, shape }) => `${fit}${shape}`)]),
    );
    expect(cells).toMatchObject({
      camA: ['1a', '1a', '1a', '1a'],
      camG: ['1a', '1b', '1a', '1a'],
      camE: ['1a', '1a', '2b', '1a'],
      upperGear: ['1a', '1a', '1a', '1a'],
    });
    expect(all.mechanisms[0]!.parts.find(({ name }) => name === 'camE')!.made.map(({ name }) => name)).toEqual([
      'camE',
      'camE',
      'camEast',
      'camE',
    ]);
  });

  it('are a table, with what is left out', () => {
    const text = releasesText(all);
    expect(text).toMatch(/^BerthSign\n {2}part +v1 +v2 +v3 +v4\n/);
    expect(text).toMatch(/^ {2}camG +1a +1b +1a +1a$/m);
    expect(text).toContain('v0 is left out: it has no sign.lobe');
  });
});
