import { type Cam, type Fix, isGuess, isUnclear, type Mechanism, type Segment } from '../../language/mechanism.ts';
import type { BarFigure, CamFigure, Figures, PositionFigure } from '../reckon/figures.ts';
import {
  apartInWords,
  at,
  type Check,
  counted,
  fix,
  grouped,
  isUnique,
  list,
  millimetres,
  named,
  symbol,
} from './check.ts';
import { isAccepted } from './clashes.ts';
import { gearedBoard, lampBoard } from './examples.ts';
import { narrowerMends, tooWide } from './flanks.ts';
import { teethFixes } from './meshes.ts';

export const unreachableSymbol: Check = {
  code: 'unreachable-symbol',
  severity: 'error',
  title: 'A symbol that the mechanism cannot show',
  means:
    'At this rest position some bars are not where the symbol wants them: hidden that should be shown, shown that should ' +
    'be hidden, or half-way between.',
  reckoned:
    'At every rest position, the lift of each segment at its cam angle: shown from `shown`·stroke upwards, hidden up to ' +
    '`hidden`·stroke (turned about for `shown lowered`; behind a `window`, the share of it that the bar covers), against what the glyph table gives to the counted symbol. A cam ' +
    'shaft that turns p times a count meets one cam angle at several rest positions; if these want different things, no ' +
    'lobe can serve them.',
  source: 'Derived here.',
  worked:
    'A cam shaft geared 2 : 1 under a count of twelve: rest positions 1 and 7 lie at one cam angle, and 1 wants bar a ' +
    'hidden where 7 wants it shown.',
  remedy:
    'Correct the stated lobes, or leave them out: then they are derived from `count` and `glyphs`. Where the gear ratio is ' +
    'the cause, gear the shaft 1 : 1.',
  notBeside: [
    'undriven-segment',
    'twice-driven-segment',
    'unlike-segments',
    'shaft-drift',
    'unmeshed-shaft',
    'overlapping-lobes',
    'wide-offset',
    'undercut-cam',
    'crossed-limits',
  ],
  examples: [
    {
      title: 'A symbol forgotten among the stated ones',
      text: lampBoard({
        count: 'count off low «high»',
        camL: 'cam camL on axle level 1 drives left { raised at low }',
      }),
    },
    {
      title: 'A shaft that turns twice a count',
      text: gearedBoard({
        count: 'count off low off «high»',
        upper: 'shaft upper { at 0 mm, 45 mm   turns clockwise   leads }',
        upperGear: 'gear upperGear on upper { module 1 mm   teeth 80   width 5 mm   mark 270 deg }',
        lower: 'shaft lower { at 0 mm, -15 mm }',
        lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 40   width 5 mm   mark 90 deg }',
      }),
    },
    { title: 'Lobes from the count', text: lampBoard() },
  ],
  find(m, f, told) {
    if (isGuess(m.limits, 'shown', m.limits.shown) || isGuess(m.limits, 'hidden', m.limits.hidden)) return [];
    const cams = new Map(f.cams.flatMap((cam) => cam.segments.map((segment) => [segment, cam])));
    const unexplained = ({ index, bars }: PositionFigure, name: string) => {
      const cam = cams.get(name);
      if (!cam || told(name, cam.name, cam.shaft) || isCutAway(m, cam)) return false;
      const [part, segment] = [named(m.cams, cam.name), named(m.segments, name)];
      const bar = bars.find((one) => one.segment === name);
      // What shorter flanks mend is told as `long-travel`.
      const isWide = part && tooWide(part, cam).length > 0 && !isAccepted(m, 'long-travel', [part.name, name]);
      if (isWide && bar && narrowerMends(m, part, cam, bar, index)) return false;
      return !(part && isUnclear(part, 'lobe')) && !(segment && isUnclear(segment, 'shown'));
    };
    const failing = f.positions
      .map((position) => ({ position, wrong: position.wrong.filter((name) => unexplained(position, name)) }))
      .filter(({ wrong }) => wrong.length > 0);
    const symbols = m.count?.symbols ?? [];
    return grouped(failing, ({ position }) => String(position.index % Math.max(1, symbols.length))).flatMap((same) => {
      const [{ position }] = same;
      const counted = symbols[position.index % symbols.length];
      if (!counted) return [];
      const wrong = same.flatMap((one) => one.wrong).filter(isUnique);
      const theirs = wrong.map((name) => cams.get(name)!).filter(isUnique);
      return [
        {
          message: `${symbol(counted.text)} cannot be shown${
            same.length > 1 ? ` at rest positions ${list(same.map(({ position }) => String(position.index)))}` : ''
          }: ${inWords(m, position, same[0].wrong, cams)}${ratioInWords(f, position.index, theirs)}`,
          place: counted.place,
          about: [...wrong, ...theirs.map(({ name }) => name)],
          figures: { position: position.index, symbol: counted.text, wrong },
          positions: same.map(({ position }) => position.index),
          related: [
            ...wrong.flatMap((name) => {
              const window = windowOf(named(m.segments, name));
              return window ? [at(window.place, `the window of ${name}`)] : [];
            }),
            ...theirs.flatMap(({ name }) => {
              const cam = named(m.cams, name);
              return cam ? [at(lobesPlace(cam), `the lobes of ${name}`)] : [];
            }),
          ],
          fixes: remedies(m, f, theirs),
        },
      ];
    });
  },
};

/** A flank too steep to follow loses lift as well: that is told as `steep-cam`. */
function isCutAway(m: Mechanism, { lift, pressureAngle }: CamFigure): boolean {
  return lift.cut !== undefined && pressureAngle !== undefined && pressureAngle.value > m.limits.pressureAngle.value;
}

/** "bar g stays hidden (camG), bars b and c stop half-way …". */
function inWords(
  m: Mechanism,
  position: PositionFigure,
  wrong: readonly string[],
  cams: ReadonlyMap<string, CamFigure>,
): string {
  const bars = position.bars.filter(({ segment }) => wrong.includes(segment));
  const behind = (name: string) => windowOf(named(m.segments, name)) !== undefined;
  const groups = grouped(bars, ({ seen, segment }) => (seen === 'between' || behind(segment) ? segment : seen));
  return list(
    groups.map((group) => {
      const names = group.map(({ segment }) => segment);
      const by = names.map((name) => cams.get(name)!.name).filter(isUnique);
      const [bar] = group;
      const { lift } = cams.get(bar.segment)!;
      const stands = behind(bar.segment) ? covering(m, bar, lift) : standing(bar, names.length, lift);
      return `${counted('bar', names)} ${stands} (${list(by)})`;
    }),
  );
}

function standing({ seen, lift, wanted }: BarFigure, number: number, { stroke, relative }: CamFigure['lift']): string {
  const one = number === 1;
  if (seen !== 'between') return `${one ? 'is' : 'are'} ${seen} instead of ${wanted ?? 'otherwise'}`;
  const [height, whole] = apartInWords(lift, stroke, 2);
  return `stops half-way${relative ? '' : `, at ${height} mm of ${whole} mm`}`;
}

/** The window through which a segment is seen, where what shows of it can be reckoned. */
function windowOf(segment: Segment | undefined) {
  return segment?.bar && segment.azimuth ? segment.window : undefined;
}

function covering({ limits }: Mechanism, { share, lift, wanted }: BarFigure, { relative }: CamFigure['lift']): string {
  const limit = wanted === 'shown' ? limits.shown.value : limits.hidden.value;
  const [covered, most] = apartInWords(100 * share, 100 * limit, 0);
  const height = relative ? '' : ` at a lift of ${millimetres(lift, 2)}`;
  return `covers ${covered} % of its window${height}, and is ${wanted} ${wanted === 'shown' ? 'from' : 'up to'} ${most} %`;
}

/** Names the ratio that makes two rest positions meet at one cam angle. */
function ratioInWords(f: Figures, index: number, cams: readonly CamFigure[]): string {
  for (const cam of cams) {
    const conflict = cam.conflicts.find(({ positions }) => positions.includes(index));
    const ratio = named(f.shafts, cam.shaft)?.ratio;
    if (!conflict || !ratio) continue;
    const other = conflict.positions.find((position) => position !== index) ?? index;
    return `; shaft ${cam.shaft} turns ${Math.abs(ratio.num)} : ${ratio.den}, so rest positions ${list(
      [index, other].sort((a, b) => a - b).map((one) => `${one} ("${f.positions[one]?.symbol}")`),
    )} meet ${cam.name} at one angle and want bar ${cam.segments[0]} different`;
  }
  return '';
}

function lobesPlace(cam: Cam) {
  if (cam.lobes.by === 'symbols') return cam.lobes.place;
  return cam.lobes.by === 'angles' ? cam.lobes.lobes[0].place : cam.place;
}

function remedies(m: Mechanism, f: Figures, figures: readonly CamFigure[]): Fix[] {
  const derived = figures.flatMap(({ name }) => {
    const cam = named(m.cams, name);
    if (!cam || cam.lobes.by === 'count') return [];
    return (cam.lobes.by === 'symbols' ? [cam.lobes] : cam.lobes.lobes).map(({ place }) => ({
      do: 'remove' as const,
      place,
    }));
  });
  const names = figures.map(({ name }) => name);
  return [
    ...(derived.length
      ? [fix(`Let count and glyphs give ${list(names)} ${names.length === 1 ? 'its' : 'their'} lobes`, ...derived)]
      : []),
    ...figures
      .filter(({ conflicts }) => conflicts.length > 0)
      .map(({ shaft }) => shaft)
      .filter(isUnique)
      .flatMap((shaft) => teethFixes(m, f, shaft)),
  ];
}
