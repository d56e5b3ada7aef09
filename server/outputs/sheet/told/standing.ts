/** How it is stacked, and how everything stands at home. */
import { symbolAt } from '../../chart/view.ts';
import { deg, mm, plain } from '../../chart/words.ts';
import { type Block, drawings, heading, table, text } from '../../document/document.ts';
import { faceAtHome, planAtHome, sectionOf } from '../pictures.tsx';
import { type Sheet, type Stacked, senseOf } from '../sheet.ts';
import { quoted, towards, turnsInWords } from './words.ts';

export function stacking({ view, stacks }: Sheet): Block[] {
  if (stacks.length === 0) return [];
  return [
    heading(2, 'How it is stacked'),
    text(
      'Levels and depths count from the face backwards. The flange of a cam lies behind it, away from the face; the nose of its bar runs before the flange.',
    ),
    ...drawings(sectionOf(view)),
    ...stacks.flatMap(({ shaft, parts }) =>
      table(
        `On ${shaft}, from the face backwards`,
        ['level', 'part', 'from, mm', 'to, mm', 'which way up'],
        parts.map((part) => [
          part.level === undefined ? '' : `${part.level}`,
          part.kind === 'spacer' ? 'spacer' : part.name,
          plain(part.from),
          plain(part.to),
          wayUp(part),
        ]),
      ),
    ),
  ];
}

function wayUp({ kind, flange, wrongTurns, wrongOver }: Stacked): string {
  if (kind === 'spacer') return 'either way';
  return [
    flange ? `flange of ${mm(flange)} to the back` : kind === 'gear' ? 'mark to the face' : 'front to the face',
    ...(wrongTurns.length > 0 ? ['its key lets it go on wrongly turned: mind its home mark'] : []),
    ...(wrongOver && !flange ? ['it would go on turned over too'] : []),
  ].join('; ');
}

export function atHome({ view }: Sheet): Block[] {
  const { mechanism: m, figures } = view;
  const shown = view.rests > 0 ? ` and shows ${quoted(symbolAt(view, 0))}` : '';
  return [
    heading(2, 'How it stands at home'),
    text(
      `Home is where everything is put together${shown}. As one reads the face, 0° is to the right and 90° up. Home marks and the cam angle 0 of every cam and shaft point to the right; gears stand mark to mark.`,
    ),
    ...drawings(faceAtHome(view), planAtHome(view)),
    ...table(
      'Shafts',
      ['shaft', 'x, mm', 'y, mm', 'journal, mm', 'its bearing, mm', 'turns', 'a step'],
      m.shafts.map(({ name, at, bearing, bearingClearance }) => {
        const figure = figures.shafts.find((shaft) => shaft.name === name);
        const sense = senseOf(view, name);
        return [
          figure?.leads ? `${name} (leads)` : name,
          at ? plain(at.value.x) : '',
          at ? plain(at.value.y) : '',
          bearing ? plain(bearing.value) : '',
          bearing ? plain(bearing.value + 2 * bearingClearance.value) : '',
          sense && figure?.step ? turnsInWords(sense) : '',
          figure?.step ? deg(Math.abs(figure.step), 3) : '',
        ];
      }),
    ),
    ...table(
      'Gears',
      ['gear', 'on', 'teeth', 'module, mm', 'mark at', 'in mesh with', 'one tooth off turns'],
      m.gears.map(({ name, shaft, teeth, module }) => {
        const meshes = figures.meshes.filter(({ gears }) => gears.includes(name));
        const off = meshes.find(({ gears }) => gears[1] === name)?.toothOff ?? [];
        const marks = figures.gears.find((gear) => gear.name === name)?.marks ?? [];
        return [
          name,
          shaft?.name ?? '',
          teeth ? `${teeth.value}` : '',
          module ? plain(module.value) : '',
          marks.map(towards).join(', '),
          meshes.flatMap(({ gears }) => gears.filter((one) => one !== name)).join(', '),
          off.map((one) => `${one.shaft} by ${deg(one.turn, 2)}`).join(', '),
        ];
      }),
    ),
    ...table(
      'Bars',
      ['bar', 'on cam', 'slides to', 'stroke, mm', 'at home', 'is shown'],
      m.segments.map(({ name, azimuth, stroke, shown }) => {
        const bar = figures.positions[0]?.bars.find(({ segment }) => segment === name);
        const cam = figures.cams.find(({ segments }) => segments.includes(name));
        const up = bar && bar.lift > (stroke?.value ?? cam?.lift.stroke ?? 0) / 2;
        return [
          name,
          cam?.name ?? '',
          azimuth ? towards(azimuth.value) : '',
          stroke ? plain(stroke.value) : '',
          bar ? (up ? 'raised' : 'lowered') : '',
          `when ${shown.value}`,
        ];
      }),
    ),
  ];
}
