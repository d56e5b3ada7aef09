/** What runs into each other: found where it does, told once, silent where it does not or cannot be known. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../language/mechanism.ts';
import { resolveDocument } from '../../../language/resolve.ts';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { gearedBoard, lampBoard } from '../../../server/checks/examples.ts';
import { findingsOf } from '../../../server/checks/index.ts';
import { applied, proveFix } from '../../../server/fixes.ts';
import { reckon, refined } from '../../../server/reckon/figures.ts';
import { finished } from '../../../server/reckon/pausing.ts';
import { findingsIn } from './findings.ts';

const services = createLobeServices();
const documents = services.shared.workspace.LangiumDocuments;

/** All findings of a text's mechanisms on the fine grid, or the coarse one. */
function found(text: string, grid: 'fine' | 'coarse' = 'fine'): Finding[] {
  return resolveDocument(readDesign(services, text)).mechanisms.flatMap((m) => {
    const figures = reckon(m);
    return findingsOf(m, grid === 'fine' ? finished(refined(m, figures)) : figures);
  });
}

const errors = (text: string) =>
  found(text)
    .filter(({ severity }) => severity === 'error' || severity === 'warning')
    .map(({ code }) => code);
const only = (text: string, code: string, grid?: 'fine' | 'coarse') =>
  found(text, grid).filter((one) => one.code === code);

/** Titles of the fixes that are true, each tried again on a text of its own. */
function trueFixes(text: string, code: string): string[] {
  const document = readDesign(services, text);
  const analysis = analyse(document, documents);
  const scene = { document, analysis, designOf: () => document.parseResult.value, read: () => undefined };
  return analysis.findings
    .filter((finding) => finding.code === code)
    .flatMap((finding) =>
      finding.fixes.flatMap((fix) => {
        const proved = proveFix(finding, fix, scene);
        if (!proved) return [];
        expect(errors(applied(text, proved.files[0].edits)), fix.title).toEqual([]);
        return [fix.title];
      }),
    );
}

/** A mechanism ten times as often in one file, each by a name of its own. */
const tenfold = (text: string) => {
  const [mechanism, table] = text.split(/\n\n(?=glyphs)/);
  const copies = Array.from({ length: 10 }, (_, i) => mechanism.replace(/^mechanism (\w+)/, `mechanism $1${i}`));
  return `${copies.join('\n\n')}\n\n${table}`;
};

describe('a clash at one angle only', () => {
  // The noses of two narrow lobes meet where the left shaft, clockwise, has turned 217.4°: there cam angle 217.4° faces
  // azimuth 0 and cam angle 180° − 217.4° of the counter-clockwise right one azimuth 180°. 48 mm of noses in 47.6 mm.
  const planted = (distance: number) =>
    gearedBoard({
      upper: `shaft upper { at -${distance / 2} mm, 0 mm   turns clockwise   leads }`,
      lower: `shaft lower { at ${distance / 2} mm, 0 mm }`,
      upperGear: `gear upperGear on upper { module ${distance / 70} mm   teeth 70   width 5 mm }`,
      lowerGear: `gear lowerGear on lower { module ${distance / 70} mm   teeth 70   width 5 mm }`,
      everyCam: 'every cam { base 20 mm   travel 24 deg   flange 1 mm to radius 21 mm }',
      everySegment: 'every segment { stroke 4 mm   nose 1.5 mm }',
      left: 'segment left { azimuth 180 deg }',
      right: 'segment right { azimuth 0 deg }',
      camL: 'cam camL on upper level 1 drives left { lobe from 216.9 deg to 217.9 deg }',
      camR: 'cam camR on lower level 1 drives right { lobe from 322.1 deg to 323.1 deg }',
      more: 'limits { pressure angle 50 deg }',
    });

  it('is told with its angle to 0.2°, its depth to 0.01 mm, its step and its place on the chart', () => {
    const [clash, ...others] = only(planted(47.6), 'neighbour-clash');
    expect(others).toEqual([]);
    expect(Math.abs((clash.figures.turn as number) - 217.4)).toBeLessThan(0.2);
    expect(clash.figures.depth).toBeCloseTo(0.4, 2); // derived: 2 · 24 mm − 47.6 mm
    expect(clash.figures.between).toEqual(['low', 'high']);
    expect(clash.message).toMatch(
      /^cam[LR] and cam[LR] run into each other, 0\.4 mm deep at 217\.[2-6]° of the turn of upper, between "low" and "high"$/,
    );
    expect(clash.about.slice(0, 2).sort()).toEqual(['camL', 'camR']);
    // Under the left follower, at azimuth 180°, then lies 180° + 217.4°; under the right one −217.4°.
    const due = clash.about[0] === 'camL' ? 37.4 : 142.6;
    expect((clash.angles![0] * 180) / Math.PI).toBeCloseTo(due, 0);
  });

  it('is seen on the coarse grid, and not told more exactly than it is known there', () => {
    const [clash] = only(planted(47.6), 'neighbour-clash', 'coarse');
    expect(clash.message).toMatch(/, 0\.\d mm deep at 21\d° of the turn/);
  });

  it('is none a little further apart', () => {
    expect(only(planted(48.02), 'neighbour-clash')).toEqual([]);
  });
});

describe('neighbour-clash', () => {
  const wide = (radius: number) =>
    gearedBoard({ camL: `cam camL on upper level 1 drives left { flange 1 mm to radius ${radius} mm }` });

  it('tells a flange at the number that makes it so wide, and a radius that will do', () => {
    const [clash, ...others] = only(wide(36), 'neighbour-clash');
    expect(others).toEqual([]);
    // 36 mm and the other flange's 24.5 mm in 60 mm; derived.
    expect(clash.figures.depth).toBeCloseTo(0.5, 6);
    expect(clash.message).toBe(
      'the flange of camL and the flange of camR run into each other, 0.5 mm deep however the shafts stand',
    );
    expect(trueFixes(wide(36), 'neighbour-clash')).toContain('Give the flange of camL radius 35.4 mm');
    expect(errors(wide(35.4))).toEqual([]);
  });

  it('through a base that all cams have is told once', () => {
    const big = gearedBoard({
      everyCam: 'every cam { base 27 mm   travel 60 deg }',
      more: 'segment middle { azimuth 0 deg }\ncam camM on upper level 2 drives middle\nsegment low { azimuth 0 deg }\ncam camN on lower level 2 drives low',
    });
    const clashes = only(big, 'neighbour-clash');
    expect(clashes.map(({ message }) => message)).toHaveLength(1);
    expect(clashes[0].message).toContain('the same number makes');
    expect(clashes[0].figures.depth).toBeCloseTo(3, 6); // derived: 2 · (27 + 3 + 1.5) mm − 60 mm
  });

  it('is silent while a number is half typed, and beside what it follows from', () => {
    for (const text of [
      wide(36).replace('to radius 36 mm', 'to radius'),
      wide(36).replace('to radius 36 mm', 'to radius 36 furlong'),
      wide(36).replace('at 0 mm, -30 mm', 'at 0 mm,'),
      wide(36).replace('flange 1 mm', 'flange (1 mm'),
      // Told as centre-distance: where the teeth want the shafts, nothing meets.
      wide(32).replace('at 0 mm, -30 mm', 'at 0 mm, -20 mm'),
    ])
      expect(only(text, 'neighbour-clash'), text).toEqual([]);
  });

  it('is hidden by no centre distance that is wide, accepted or not, and by none that would not part them', () => {
    const apart = wide(37).replace('at 0 mm, -30 mm', 'at 0 mm, -30.2 mm');
    expect(only(apart, 'centre-distance')).toHaveLength(1);
    expect(only(apart, 'neighbour-clash')).toHaveLength(1);
    const judged = apart.replace(/\n}\n/, '\n  accept centre-distance "wide for backlash"\n}\n');
    expect(only(judged, 'neighbour-clash')).toHaveLength(1);
    expect(only(wide(36).replace('at 0 mm, -30 mm', 'at 0 mm, -20 mm'), 'neighbour-clash')).toHaveLength(1);
  });

  it('is hidden by no steep cam, which every cure brings nearer', () => {
    const steep = wide(36).replace('travel 60 deg', 'travel 20 deg');
    expect(only(steep, 'steep-cam').length).toBeGreaterThan(0);
    expect(only(steep, 'neighbour-clash')).toHaveLength(1);
  });

  it('is told once in each of ten mechanisms', () => {
    expect(only(tenfold(wide(36)), 'neighbour-clash')).toHaveLength(10);
    expect(found(tenfold(wide(35)))).toEqual([]);
  });

  it('may be accepted', () => {
    const text = wide(36)
      .replace('  camR', '  camR')
      .replace(/\n}\n/, '\n  accept neighbour-clash on camL "cut by hand"\n}\n');
    expect(only(text, 'neighbour-clash').map(({ accepted }) => accepted)).toEqual(['cut by hand']);
    expect(only(text, 'needless-accept')).toEqual([]);
  });
});

describe('post-clash', () => {
  it('is none between a guide and a flange of the usual sizes, beside the shaft or not', () => {
    for (const offset of [0, 1, 2, -3]) {
      const text = lampBoard({
        everySegment: `every segment { stroke 3 mm   nose 1.5 mm   guide 12 mm   offset ${offset} mm }`,
      });
      expect(only(text, 'post-clash')).toEqual([]);
    }
  });

  const near = (right: string) => lampBoard({ right: `segment right { azimuth 0 deg   ${right} }` });
  const bar = 'bar 8 mm by 20 mm at 27 mm, 0 mm';

  it('tells what lies before a post, at rest by its symbol, and a post that will do', () => {
    const [clash, ...others] = only(near(bar), 'post-clash');
    expect(others).toEqual([]);
    // The flange before it reaches to 24.5 mm, the bar from 23 mm; raised at "high" alone. Derived.
    expect(clash.figures.depth).toBeCloseTo(1.5, 6);
    expect(clash.message).toMatch(
      /^the post of right and the flange of camL run into each other, 1\.5 mm deep at "off" and "low"/,
    );
    expect(clash.about).toEqual(expect.arrayContaining(['right', 'camL']));
    const fixes = trueFixes(near(bar), 'post-clash');
    expect(fixes.some((title) => title.startsWith('Give right a post 6.'))).toBe(true);
    expect(errors(near(`${bar}   post 6 mm by 20 mm at 28.2 mm, 0 mm`))).toEqual([]);
  });

  it('does not take a guide that begins where its flange ends for a clash', () => {
    expect(errors(near('guide 14 mm'))).toEqual([]);
  });

  it('finds a guide that reaches into the stack of another shaft, and a length that will do', () => {
    const text = gearedBoard({
      camR: 'cam camR on lower level 1 drives right',
      more: 'segment middle { azimuth 270 deg   guide 16 mm }\ncam camM on upper level 2 drives middle { lobe from 0 deg to 60 deg }',
    });
    const [clash, ...others] = only(text, 'post-clash');
    expect(others).toEqual([]);
    // It begins 4.5 mm from the nose tip at y = 10 mm and ends 16 mm on at -10.5 mm; the flange reaches to -5.5 mm. Derived.
    expect(clash.figures.depth).toBeCloseTo(5, 6);
    expect(clash.message).toMatch(/^the guide of middle and the flange of camR run into each other, 5 mm deep/);
    const [finding] = only(text.replace('guide 16 mm', 'guide 10.5 mm'), 'post-clash');
    expect(finding).toBeUndefined();
  });

  it('is silent while it is half written, and beside what it follows from', () => {
    for (const text of [
      near('bar 8 mm by 20 mm at 27 mm,'),
      near('bar 8 mm by'),
      near(`${bar}   stroke (3 mm`),
      near(`${bar}   post 8 mm by`),
      lampBoard({ right: `segment right { azimuth 0 deg   ${bar} }`, camR: 'cam camR on axle level 1 drives right' }),
    ])
      expect(only(text, 'post-clash'), text).toEqual([]);
  });

  it('is told once in each of ten mechanisms', () => {
    expect(only(tenfold(near(bar)), 'post-clash')).toHaveLength(10);
  });
});

describe('bar-clash', () => {
  const boards = (right: string, count = 'count off low high') =>
    lampBoard({ count, right: `segment right { azimuth 0 deg   ${right}   post 2 mm by 4 mm at 43 mm, 0 mm }` });
  const atRest = 'bar 84 mm by 4 mm at 2 mm, 0 mm';

  it('names the symbols at which bars lie in each other, and what would mend it', () => {
    const [clash, ...others] = only(boards(atRest), 'bar-clash');
    expect(others).toEqual([]);
    // It begins at -40 mm and the left one ends at -38 mm; at "high" both are out of the way, at "low" the left one. Derived.
    expect(clash.figures.depth).toBeCloseTo(2, 6);
    expect(clash.message).toBe('bars right and left run into each other, 2 mm deep at "off"');
    expect(clash.positions).toEqual([0]);
    expect(trueFixes(boards(atRest), 'bar-clash')).toEqual(
      expect.arrayContaining(['Make the bar of right 79.8 mm wide', 'Put right on plane 2']),
    );
    expect(only(boards(`${atRest} plane 2`), 'bar-clash')).toEqual([]);
  });

  it('names the step in which they do so only on the way', () => {
    // Left rises while the right one, that lies before it, has not yet gone: from "low" both move, and at rest pass clear.
    const text = lampBoard({
      count: 'count low high',
      table: 'glyphs lamps { segments left right   low = left   high = right }',
      everyCam: 'every cam { base 26 mm }',
      left: 'segment left { azimuth 0 deg   bar 4 mm by 8 mm at 40 mm, 6 mm   post 2 mm by 2 mm at 40 mm, 8 mm }',
      right:
        'segment right { azimuth 180 deg   bar 4 mm by 8 mm at 46.2 mm, 6 mm   post 2 mm by 2 mm at -40 mm, 0 mm }',
      more: 'accept bar-astray "it reaches across"',
    });
    // The gap is 2.2 mm less both lifts: 3 mm at every rest in all, so at rest they touch as deep as on the way.
    const [clash] = only(text, 'bar-clash');
    expect(clash.figures.depth).toBeCloseTo(0.8, 2);
  });

  it('is silent while it is half written', () => {
    for (const text of [boards('bar 84 mm by 4 mm at 2 mm,'), boards('bar 84 mm by 4 mm at 2 mm, 0 mm plane')])
      expect(only(text, 'bar-clash'), text).toEqual([]);
    expect(
      only(lampBoard({ camR: '', right: 'segment right { bar 84 mm by 4 mm at 2 mm, 0 mm }' }), 'bar-clash'),
    ).toEqual([]);
  });

  it('tells a bar that lies on many in one finding', () => {
    const text = lampBoard({
      right: 'segment right { azimuth 0 deg   bar 90 mm by 90 mm at 60 mm, 0 mm   post 2 mm by 2 mm at 60 mm, 0 mm }',
      more: [
        'segment top { azimuth 90 deg   bar 20 mm by 4 mm at 30 mm, 36 mm   post 4 mm by 4 mm at 0 mm, 36 mm }',
        'segment foot { azimuth 270 deg   bar 20 mm by 4 mm at 30 mm, -36 mm   post 4 mm by 4 mm at 0 mm, -36 mm }',
        'cam camT on axle level 3 drives top { raised at high }',
        'cam camF on axle level 4 drives foot { raised at high }',
      ].join('\n'),
    });
    const clashes = only(text, 'bar-clash');
    expect(clashes.map(({ about }) => about.slice(0, 3))).toEqual([['right', 'top', 'foot']]);
    expect(clashes[0].message).toContain('; so do right and foot');
  });

  it('is told once in each of ten mechanisms', () => {
    expect(only(tenfold(boards(atRest)), 'bar-clash')).toHaveLength(10);
  });
});

describe('crowded-window', () => {
  const board = (window: string, right = 'bar 88 mm by 4 mm at 0 mm, 0 mm plane 2') =>
    lampBoard({
      left: `segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   window ${window} }`,
      right: `segment right { azimuth 0 deg   ${right}   post 2 mm by 4 mm at 42 mm, 0 mm }`,
    });

  it('tells a stranger at the symbols where it shows, behind the own bar it does not', () => {
    const [finding, ...others] = only(board('3 mm by 20 mm at -43.5 mm, 0 mm'), 'crowded-window');
    expect(others).toEqual([]);
    // 2 mm by 4 mm of 3 mm by 20 mm: 13 %; raised, the own bar lies before it. Derived.
    expect(finding.figures.share).toBeCloseTo(8 / 60, 9);
    expect(finding.positions).toEqual([0]);
    expect(finding.message).toBe(
      'through the window of left shows bar right as well, 13 % of it, at "off" (hidden is up to 10 %)',
    );
    expect(errors(board('3 mm by 20 mm at -43.5 mm, 0 mm'))).toEqual(['crowded-window']);
  });

  it('lets a sliver be that a bar may show itself where it is hidden', () => {
    expect(only(board('3 mm by 20 mm at -44.5 mm, 0 mm'), 'crowded-window')).toEqual([]);
  });

  it('is silent while it is half written', () => {
    expect(only(board('3 mm by 20 mm at'), 'crowded-window')).toEqual([]);
    expect(only(board('3 mm by 20 mm at -43.5 mm, 0 mm', 'bar 88 mm by 4 mm at 0 mm,'), 'crowded-window')).toEqual([]);
  });

  it('is told once in each of ten mechanisms', () => {
    expect(only(tenfold(board('3 mm by 20 mm at -43.5 mm, 0 mm')), 'crowded-window')).toHaveLength(10);
  });
});

describe('level-clash', () => {
  const gears = (upper: string, lower: string, more = '') =>
    gearedBoard({
      upperGear: `gear upperGear on upper { module 1 mm   teeth 60   width 5 mm   mark 270 deg ${upper} }`,
      lowerGear: `gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark 90 deg ${lower} }`,
      more,
    });

  it('lets a gear lie at the level of the one it meshes with, and gears of one shaft one behind the other', () => {
    expect(errors(gears('', 'level 3'))).toEqual([]);
    expect(errors(gears('', '', 'gear spare on upper { module 1 mm   teeth 20   width 5 mm }'))).toEqual([]);
  });

  it('tells gears of one mesh that say two levels, once', () => {
    expect(errors(gears('level 2', 'level 3'))).toEqual(['level-clash']);
    expect(trueFixes(gears('level 2', 'level 3'), 'level-clash')).toEqual(['Put lowerGear at level 2']);
  });

  it('tells a gear that meets a cam through the level of the one it meshes with', () => {
    expect(
      errors(gears('level 2', '', 'segment low { azimuth 270 deg }\ncam camN on lower level 2 drives low')),
    ).toContain('level-clash');
  });
});

describe('bad input', () => {
  const codes = (text: string) => analyse(readDesign(services, text), documents).findings.map(({ code }) => code);

  it('shafts at one place are told once, with gears in mesh or without', () => {
    expect(codes(gearedBoard({ lower: 'shaft lower { at 0 mm, 30 mm }' }))).toEqual(['coincident-shafts']);
    expect(codes(gearedBoard({ more: 'shaft spare { at 0 mm, 30 mm   bearing 4 mm }' }))).toContain(
      'coincident-shafts',
    );
  });

  it('bars, windows and posts without a size are told once', () => {
    for (const size of ['0 mm by 20 mm', '4 mm by 0 mm', '-4 mm by 20 mm'])
      expect(
        codes(lampBoard({ left: `segment left { azimuth 180 deg   bar ${size} at -40 mm, 0 mm }` })),
        size,
      ).toEqual(['bad-value']);
    expect(
      codes(
        lampBoard({
          left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   post 0 mm by 2 mm at -40 mm, 0 mm }',
        }),
      ),
    ).toEqual(['bad-value']);
  });

  it('an offset past the prime circle is told once', () => {
    expect(codes(lampBoard({ left: 'segment left { azimuth 180 deg   offset 25 mm   guide 14 mm }' }))).toEqual([
      'wide-offset',
    ]);
  });

  it('an arm that reaches nothing is told once', () => {
    expect(
      codes(lampBoard({ left: 'segment left { azimuth 180 deg   follower pivoted at 0 mm, 40 mm arm 15 mm }' })),
    ).toEqual(['short-arm']);
  });

  it('a base smaller than the bore is told once', () => {
    const text = lampBoard({
      shaft:
        'shaft axle { at 0 mm, 0 mm   turns clockwise   key dee }\nkey dee { shape flat   outer 44 mm   inner 40 mm }',
    });
    expect(errors(text)).toEqual(['thin-cam']);
  });

  it('a nose larger than the lobe is told once', () => {
    const text = lampBoard({
      left: 'segment left { azimuth 180 deg   nose 9 mm   guide 14 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }',
      camL: 'cam camL on axle level 1 drives left { base 10 mm   travel 30 deg }',
    });
    expect(errors(text)).toEqual(['undercut-cam']);
  });
});

describe('a pivot', () => {
  const pivoted = (at: string, arm: string, more = '', lit = '') => `mechanism Piv {
  made with filament
  assembled greased
  glyphs t
  limits { pressure angle 70 deg }
  count A B C D
  shaft s { at 0 mm, 0 mm   turns counterclockwise   leads   key dee   bearing 8 mm }
  key dee { shape flat   outer 10 mm   clearance 0.1 mm }
  segment a { azimuth 90 deg   bar 60 mm by 8 mm at 0 mm, 100 mm   stroke 5 mm   nose 2 mm   guide 14 mm   follower pivoted at ${at} arm ${arm} }
  cam ca on s level 1 drives a { base 20 mm   travel 60 deg }
${more}}
glyphs t { A = a B = blank C = ${lit || 'a'} D = a ${lit} }
`;
  const beside = `  shaft t { at 56 mm, 0 mm   key dee   bearing 8 mm }
  gear gs on s { module 1 mm   teeth 56   width 4 mm }
  gear gt on t { module 1 mm   teeth 56   width 4 mm }
  mesh gs gt
  segment b { azimuth 270 deg   bar 60 mm by 8 mm at 56 mm, -100 mm   stroke 5 mm   nose 2 mm   guide 14 mm }
  cam cb on t level 1 drives b { base 20 mm   travel 60 deg }
`;
  const clashing = (text: string) =>
    findingsIn(text).flatMap(({ code, at, message }) => (code === 'post-clash' ? [{ at, message }] : []));

  it('inside its own cam or the cam of a neighbour runs into it', () => {
    const own = clashing(pivoted('15 mm, 0 mm', '25 mm'));
    expect(own).toMatchObject([{ at: 'follower pivoted at 15 mm, 0 mm arm 25 mm' }]);
    expect(own[0].message).toMatch(/^the pivot of a and ca run into each other, /);
    const others = clashing(pivoted('50 mm, 10 mm', '40 mm', beside, 'b'));
    expect(others).toMatchObject([{ at: 'follower pivoted at 50 mm, 10 mm arm 40 mm' }]);
    expect(others[0].message).toMatch(/^the pivot of a and cb run into each other, /);
  });

  it('outside them runs into nothing, and of its arm it is said that nothing is known', () => {
    const text = pivoted('40 mm, 0 mm', '40 mm');
    expect(clashing(text)).toEqual([]);
    expect(findingsIn(text).find(({ code }) => code === 'unheld-arm')).toMatchObject({
      severity: 'information',
      about: ['a'],
    });
  });
});

describe('an arm', () => {
  /** Its pivot stands nearly square to the radius of its nose. */
  const swinging = (stem: string, more = '', lit = '') => `mechanism Arm {
  made with filament
  assembled greased
  glyphs t
  count A B
  shaft s { at 0 mm, 0 mm   turns counterclockwise   leads   key dee   bearing 8 mm }
  key dee { shape flat   outer 10 mm   clearance 0.1 mm }
  every segment { stroke 4 mm   nose 5 mm   bar 30 mm by 4 mm at 0 mm, 120 mm }
  every cam { base 30 mm   travel 80 deg }
  segment a { azimuth 90 deg   follower pivoted at 50 mm, 32 mm arm 50 mm   ${stem} }
  cam ca on s level 1 drives a
${more}}
glyphs t { A = a ${lit} B = blank }
`;
  const told = (text: string) =>
    findingsIn(text).filter(
      ({ code, severity }) => code === 'unheld-arm' || severity === 'error' || severity === 'warning',
    );

  it('of a stated width is held against its own cam, and a narrower one is offered that clears it', () => {
    expect(told(swinging('stem 8 mm'))).toEqual([]);
    const [found, ...others] = told(swinging('stem 9.6 mm'));
    expect(others).toEqual([]);
    expect(found).toMatchObject({
      code: 'post-clash',
      at: 'follower pivoted at 50 mm, 32 mm arm 50 mm',
      about: ['a', 'ca'],
    });
    expect(found.message).toMatch(/^the arm of a and ca run into each other, 0\.\d+ mm deep at /);
    const [narrower] = found.fixes;
    expect(narrower.title).toBe('Make the arm of a 8.2 mm wide');
    expect(told(swinging('stem 8.2 mm'))).toEqual([]);
  });

  it('runs into the cam of a neighbour, and into another arm, each told once', () => {
    const neighbour = (base: string, follower = '') => `  shaft t { at 90 mm, 0 mm   key dee   bearing 8 mm }
  gear gs on s { module 1 mm   teeth 90   width 4 mm }
  gear gt on t { module 1 mm   teeth 90   width 4 mm }
  mesh gs gt
  segment b { azimuth 90 deg   bar 30 mm by 4 mm at 90 mm, 120 mm   ${follower} }
  cam cb on t level 1 drives b { base ${base}   flange 0 mm }
`;
    const [cams, ...others] = told(swinging('stem 8 mm', neighbour('44 mm'), 'b'));
    expect(others).toEqual([]);
    expect(cams.message).toMatch(/^the (pivot|arm) of a and cb run into each other, .* deep at /);
    expect(told(swinging('stem 4 mm', neighbour('30 mm'), 'b'))).toEqual([]);
    const arms = neighbour('30 mm', 'follower pivoted at 40 mm, 32 mm arm 50 mm   stem 4 mm');
    const [crossed, ...more] = told(swinging('stem 4 mm', arms, 'b'));
    expect(more).toEqual([]);
    expect(crossed.message).toMatch(/^the (arm|pivot) of a and the (arm|pivot) of b run into each other, /);
  });

  it('of no stated width is told with its remedy, and with the width of others as a fix', () => {
    const [found, ...others] = told(swinging(''));
    expect(others).toEqual([]);
    expect(found).toMatchObject({ code: 'unheld-arm', severity: 'information', about: ['a'], fixes: [] });
    expect(found.message).toContain('stem');
    const other = `  segment b { azimuth 90 deg   bar 30 mm by 4 mm at 0 mm, 150 mm   follower pivoted at -50 mm, 32 mm arm 50 mm   stem 3 mm }
  cam cb on s level 2 drives b
`;
    const [beside] = told(swinging('', other, 'b')).filter(({ code }) => code === 'unheld-arm');
    expect(beside.fixes.map(({ title }) => title)).toEqual(['Make the arm of a 3 mm wide']);
  });
});

describe('a nose larger than its lobe', () => {
  const berth = readFileSync('examples/berth-sign.lobe', 'utf8');
  const nosed = (nose: string, text = berth) => text.replace('nose 1.5 mm', `nose ${nose}`);

  it('is one finding at the nose, however much there is no room for, with a nose that does', () => {
    for (const nose of ['4 mm', '5 mm', '8 mm']) {
      const [finding, ...others] = findingsIn(nosed(nose));
      expect(others.map(({ message }) => message)).toEqual([]);
      expect(finding).toMatchObject({ code: 'large-nose', severity: 'error', at: nose });
      // Prime circle 22 mm and stroke 3.5 mm: the flange of camD reaches (nose − 2.5 mm) into the guide of g, from both sides.
      expect(finding.message).toContain('nose 2.4 mm would do');
    }
    expect(trueFixes(nosed('5 mm'), 'large-nose')).toEqual(['Give bars a, b, f, g, d and c nose 2.4 mm']);
    expect(errors(nosed('2.4 mm'))).toEqual([]);
    expect(new Set(errors(nosed('2.6 mm')))).toEqual(new Set(['post-clash']));
  });

  it('is told of its own nose alone', () => {
    const text = lampBoard({
      left: 'segment left { azimuth 180 deg   nose 16 mm   bar 4 mm by 20 mm at -40 mm, 0 mm }',
    });
    expect(findingsIn(text)).toMatchObject([{ code: 'large-nose', at: '16 mm', about: ['left', 'right', 'camL'] }]);
  });

  it('is not to blame where parts state their sizes, or where no smaller one would do', () => {
    const stated = lampBoard({
      everySegment: 'every segment { stroke 3 mm   nose 16 mm }',
      everyCam: 'every cam { base 20 mm   travel 60 deg   flange 1 mm to radius 39 mm }',
    });
    expect(errors(stated)).toEqual(['post-clash']);
    const near = lampBoard({
      everySegment: 'every segment { stroke 3 mm   nose 4 mm }',
      right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 22 mm, 0 mm }',
    });
    expect(errors(near)).toContain('post-clash');
    expect(errors(near)).not.toContain('large-nose');
  });

  it('that undercuts is told as that, at the nose, and of nothing that follows, windows or none', () => {
    for (const [name, text] of ['berth-sign', 'lock-countdown', 'score-tally', 'signal-box'].map(
      (name) => [name, readFileSync(`examples/${name}.lobe`, 'utf8')] as const,
    )) {
      for (const nose of [12, 20, 40]) {
        const told = findingsIn(text.replace(/nose [\d.]+ mm/, `nose ${nose} mm`)).filter(
          ({ code, accepted }) =>
            !accepted && !['shaft-drift', 'key-ambiguous', 'rubbing-levels', 'large-part'].includes(code),
        );
        expect(told, `${name} ${nose}`).toMatchObject([{ code: 'undercut-cam', at: `${nose} mm` }]);
      }
    }
    expect(trueFixes(nosed('12 mm'), 'undercut-cam')).toEqual(['Give d nose 2.4 mm']);
  });

  it('stands as what it brings together where it is accepted', () => {
    const text = nosed('5 mm').replace('bought 4', 'accept large-nose "as drawn"\n  bought 4');
    expect(new Set(findingsIn(text).map(({ code }) => code))).toEqual(new Set(['needless-accept', 'post-clash']));
  });
});
