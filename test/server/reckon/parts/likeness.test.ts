import { describe, expect, it } from 'vitest';
import { lampBoard } from '../../../../server/checks/examples.ts';
import { findingsIn } from '../../checks/findings.ts';

const keyed = (shape: string) => `shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { ${shape} }`;
const told = (text: string) => findingsIn(text).filter(({ code }) => code === 'mirror-parts');
/** Each bar is raised at one symbol alone: the cams are one, turned by a step. */
const alike = (more: Parameters<typeof lampBoard>[0] = {}) =>
  lampBoard({
    shaft: keyed('shape flat   outer 12 mm'),
    table: 'glyphs lamps { segments left right   off = blank   low = left   high = right }',
    ...more,
  });

describe('mirror-parts', () => {
  it('names cams that are one but for a turn, and what tells them apart', () => {
    const [found, ...others] = told(alike());
    expect(others).toEqual([]);
    expect(found).toMatchObject({ severity: 'hint', at: 'camL', about: ['camL', 'camR'] });
    expect(found.message).toBe(
      'cams camL and camR are one shape, turned on their key; the names that the export engraves on them tell them apart',
    );
  });

  it('says where the export finds no room for a name', () => {
    const long = 'theVeryLongNameOfACamThatIsSoSmallThatNothingCanBeWrittenOnIt';
    const [found] = told(alike({ camL: `cam ${long} on axle level 1 drives left` }));
    expect(found.message).toContain(`no room for the name on ${long}: mark it by hand`);
  });

  it('is silent of cams that differ in what they are cut with, and of those that may be mixed', () => {
    for (const more of [
      { camL: 'cam camL on axle level 1 drives left { base 21 mm }' },
      { camL: 'cam camL on axle level 1 drives left { travel 50 deg }' },
      { camL: 'cam camL on axle level 1 drives left { thickness 4 mm }' },
      { left: 'segment left { azimuth 180 deg   nose 2 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }' },
    ])
      expect(told(alike(more)), JSON.stringify(more)).toEqual([]);
    // Turned by 120° they go onto a hexagon all the same: one cam, made twice.
    expect(
      told(alike({ shaft: keyed('shape hexagon   across 10 mm'), right: 'segment right { azimuth 180 deg }' })),
    ).toEqual([]);
  });

  it('tells mirror images of one by their slides, which lie beside the shaft to either side', () => {
    const beside = (side: string, offset: string) =>
      `segment ${side} { azimuth ${side === 'left' ? 180 : 0} deg   offset ${offset}   bar 4 mm by 20 mm at ${side === 'left' ? -40 : 40} mm, 0 mm }`;
    const [found] = told(alike({ left: beside('left', '3 mm'), right: beside('right', '-3 mm') }));
    expect(found.message).toContain('mirror images');
    expect(told(alike({ left: beside('left', '3 mm'), right: beside('right', '3 mm') }))[0].message).toContain(
      'turned',
    );
  });

  it('is not called needless while something else is wrong', () => {
    const text = alike({ more: 'accept mirror-parts "marked"' });
    expect(findingsIn(text).map(({ code, accepted }) => [code, accepted])).toEqual([['mirror-parts', 'marked']]);
    const wrong = findingsIn(text.replace('base 20 mm', 'base 4 mm')).map(({ code }) => code);
    expect(wrong).not.toContain('needless-accept');
    const other = alike({
      more: 'accept mirror-parts "marked"',
      camL: 'cam camL on axle level 1 drives left { base 21 mm }',
    });
    expect(findingsIn(other).map(({ code }) => code)).toContain('needless-accept');
  });
});
