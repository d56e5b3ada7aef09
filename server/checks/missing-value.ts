import { type Cam, type Fix, isUnclear, type Mechanism, type Part, type Severity } from '../../language/mechanism.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import {
  byName,
  type Check,
  type Found,
  fix,
  grouped,
  isUnique,
  list,
  millimetres,
  partsOf,
  roundUp,
  setting,
} from './check.ts';
import { lampBoard } from './examples.ts';
import { nextFreeLevel } from './levels.ts';
import { leastBase } from './sizes.ts';

export const missingValue: Check = {
  code: 'missing-value',
  severity: 'hint',
  title: 'Something is not reckoned, because a value is missing',
  means:
    'A part, or the mechanism itself, is not written far enough for a figure: what it lacks is named, and what would be ' +
    'reckoned with it. Mostly a hint; an error where nothing can be reckoned without it (a cam without a shaft, a segment ' +
    'without an azimuth, a mechanism without a count).',
  reckoned:
    'What each figure needs, and what the design gives. A missing `base` is told with the smallest that would do for the ' +
    'pressure angle and leaves a wall round the key, rounded up to 0.5 mm.',
  source: 'The design itself; the smallest base as on the page of `steep-cam`.',
  worked:
    'Simple harmonic, 6 mm in 45°, nose 1.5 mm, limit 30°: the prime radius must be 18 mm, so base 16.5 mm is offered.',
  remedy: 'Say the value on the part, or for all of its kind: `every cam { base 22 mm }`.',
  examples: [
    {
      title: 'No base',
      text: lampBoard({
        everyCam: 'every cam { travel 60 deg }',
        camR: 'cam camR on axle level 2 drives right { base 20 mm }',
        camL: 'cam «camL» on axle level 1 drives left',
      }),
    },
    {
      title: 'A segment without a direction',
      text: lampBoard({ left: 'segment «left» { bar 4 mm by 20 mm at -40 mm, 0 mm }' }),
    },
    { title: 'Nothing yet', text: 'mechanism «Empty» {\n}\n' },
    { title: 'Enough to reckon with', text: lampBoard() },
  ],
  find(m, f) {
    return [...ofMechanism(m), ...ofParts(m, f)];
  },
};

// ---- the mechanism itself --------------------------------------------------------

function ofMechanism(m: Mechanism): Found[] {
  const derives = m.cams.some(({ lobes }) => lobes.by === 'count');
  const lacking = [
    { statement: 'count', what: 'count', lacks: !m.count, vital: true },
    { statement: 'glyphs', what: 'glyph table', lacks: !m.glyphs, vital: derives || !m.cams.length },
    { statement: 'shaft', what: 'shaft', lacks: !m.shafts.length, vital: true },
    { statement: 'segment', what: 'segment', lacks: !m.segments.length, vital: true },
    { statement: 'cam', what: 'cam', lacks: !m.cams.length, vital: true },
  ].filter(({ lacks, statement }) => lacks && !isUnclear(m, statement));
  if (!lacking.length) return [];
  const decimal = m.count?.symbols.every(({ text }) => /^[0-9]$/.test(text)) && lacking[0].statement === 'glyphs';
  return [
    {
      severity: lacking.some(({ vital }) => vital) ? 'error' : 'hint',
      message: `${m.name} has no ${list(
        lacking.map(({ what }) => what),
        'and no',
      ).replaceAll(', ', ', no ')}; begin with ${beginning[lacking[0].statement]}`,
      place: m.place,
      about: [m.name],
      figures: { lacks: lacking.map(({ statement }) => statement) },
      fixes: decimal ? [fix('Take the library’s decimal glyphs', { do: 'add', statement: 'glyphs decimal' })] : [],
    },
  ];
}

const beginning: Readonly<Record<string, string>> = {
  count: 'count 0 1 2 3, the symbols in the order a forward step shows them',
  glyphs: 'glyphs decimal, or a table of your own',
  shaft: 'shaft main { at 0 mm, 0 mm   turns clockwise }',
  segment: 'segment a { azimuth 90 deg   stroke 3 mm   nose 1.5 mm }',
  cam: 'cam camA on SHAFT level 1 drives SEGMENT',
};

// ---- its parts ---------------------------------------------------------------------

interface Lack {
  readonly part: Part;
  readonly property: string;
  /** What is not reckoned without it. */
  readonly figure: string;
}

/** Without these nothing of the part can be reckoned. */
const vital: Readonly<Partial<Record<Part['kind'], readonly string[]>>> = {
  cam: ['on', 'drives', 'travel'],
  segment: ['azimuth'],
  gear: ['on', 'teeth'],
};

const written: Readonly<Record<string, string>> = {
  on: 'its shaft (on SHAFT)',
  drives: 'its segment (drives SEGMENT)',
  turns: 'its shaft (turns SHAFT)',
};

function ofParts(m: Mechanism, f: Figures): Found[] {
  const parts = byName(partsOf(m));
  const reckoned = f.missing.flatMap(({ figure, wants }): Lack[] => {
    const dot = wants.lastIndexOf('.');
    const part = dot < 0 ? undefined : parts.get(wants.slice(0, dot));
    return part ? [{ part, property: wants.slice(dot + 1), figure }] : [];
  });
  const lacks = [...reckoned, ...ofDriver(m), ...ofLevels(m)].filter(
    ({ part, property }) => !isUnclear(part, property),
  );
  const [cams, figures] = [byName(m.cams), byName(f.cams)];
  const free = new Map<string, number>();
  const freeLevel = (shaft: string): number => {
    const level = free.get(shaft) ?? nextFreeLevel(m, shaft);
    free.set(shaft, level);
    return level;
  };
  return grouped(lacks, ({ part }) => part.name).map((same): Found => {
    const [{ part }] = same;
    const properties = same.map(({ property }) => property).filter(isUnique);
    const lost = same.map(({ figure }) => figure).filter(isUnique);
    const severity: Severity = properties.some((property) => vital[part.kind]?.includes(property)) ? 'error' : 'hint';
    const base = properties.includes('base') ? smallestBase(m, f, figures.get(part.name)) : undefined;
    return {
      severity,
      message: `${part.name} lacks ${list(properties.map((property) => written[property] ?? property))}, without which ${list(
        lost,
      )} ${lost.length === 1 ? 'is' : 'are'} not reckoned${base ? `; base ${base} would do` : ''}`,
      place: part.place,
      about: [part.name],
      figures: { lacks: properties, ...(base && { smallestBase: Number.parseFloat(base) }) },
      fixes: [
        ...(base ? [fix(`Give ${part.name} base ${base}`, setting(part.name, 'base', base))] : []),
        ...levelFix(cams.get(part.name), properties, freeLevel),
      ],
    };
  });
}

function ofDriver(m: Mechanism): Lack[] {
  const lacking = (part: Part, value: unknown, property: string, figure: string): Lack[] =>
    value === undefined ? [{ part, property, figure }] : [];
  return [
    ...m.ratchets.flatMap((ratchet) => [
      ...lacking(ratchet, ratchet.shaft, 'on', `the step of ${ratchet.name}`),
      ...lacking(ratchet, ratchet.teeth, 'teeth', `the step of ${ratchet.name}`),
    ]),
    ...m.ratchets.flatMap((ratchet) => [
      ...(ratchet.arm
        ? lacking(ratchet, ratchet.deflection, 'deflection', `what the arm of ${ratchet.name} bears`)
        : []),
      ...(ratchet.deflection ? lacking(ratchet, ratchet.arm, 'arm', `what the arm of ${ratchet.name} bears`) : []),
    ]),
    ...m.pushes.flatMap((push) => [
      ...lacking(push, push.shaft, 'turns', `what ${push.name} turns`),
      ...lacking(push, push.arm, 'arm', `how far ${push.name} turns it`),
      ...lacking(push, push.start, 'start', `how far ${push.name} turns it`),
      ...lacking(push, push.stroke, 'stroke', `how far ${push.name} turns it`),
    ]),
  ];
}

function ofLevels(m: Mechanism): Lack[] {
  return m.cams.flatMap((part) =>
    part.level ? [] : [{ part, property: 'level', figure: `the place of ${part.name} on its shaft` }],
  );
}

function smallestBase(m: Mechanism, f: Figures, cam: CamFigure | undefined): string | undefined {
  const least = cam && leastBase(m, f, cam);
  return least === undefined ? undefined : millimetres(Math.max(0.5, roundUp(least, 0.5)));
}

function levelFix(cam: Cam | undefined, properties: readonly string[], free: (shaft: string) => number): Fix[] {
  if (!cam?.shaft || !properties.includes('level')) return [];
  const level = String(free(cam.shaft.name));
  return [fix(`Put ${cam.name} at level ${level}`, setting(cam.name, 'level', level))];
}
