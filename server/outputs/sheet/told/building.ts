/** How it goes together: stages, the steps of each, and what to try before the next. */
import { listed } from '../../chart/words.ts';
import { type Block, drawings, heading, text } from '../../document/document.ts';
import { faceSoFar, levelAtHome } from '../pictures.tsx';
import type { Sheet } from '../sheet.ts';
import type { Stage } from '../stages.ts';
import { type Fitting, fittings } from './fitting.ts';
import { stepText } from './steps.ts';
import { stageTrial } from './trials.ts';
import { capital } from './words.ts';

export function building(sheet: Sheet): Block[] {
  const { stages, deadlocks } = sheet;
  const { mechanism } = sheet.view;
  if (stages.length === 0) return [];
  const closing = mechanism.frame
    ? stages.findIndex(({ steps }) => steps.some(({ part }) => part === 'back plate'))
    : -1;
  const works: (Stage | Fitting)[] = [...stages];
  const [first, ...others] = fittings(sheet);
  // A frame closes over what draws the bars back.
  if (first) works.splice(others.length > 0 && closing >= 0 ? closing : works.length, 0, first);
  works.push(...others);
  let done = 0;
  const told = works.flatMap((work, index): Block[] => {
    const from = done + 1;
    const isFitting = 'blocks' in work;
    done += isFitting ? work.steps : work.steps.length;
    const title = heading(3, `${index + 1}. ${isFitting ? work.title : stageTitle(work)}`);
    return isFitting
      ? [title, ...work.blocks(from)]
      : [
          title,
          { kind: 'steps', first: from, items: work.steps.map((step) => stepText(sheet, step)) },
          ...drawings(...stageDrawings(sheet, work)),
          ...stageTrial(sheet, work),
        ];
  });
  return [
    heading(2, 'Put it together'),
    text(
      `${mechanism.frame ? ontoItsFace : 'Lay it on its back and build towards yourself, its face towards you.'} The order follows from what would lie in whose way: keep to it. Try each stage before you go on; what does not move now will not move later.`,
    ),
    ...deadlocks.map(
      ({ parts: [one, other] }): Block => ({
        kind: 'caution',
        title: `${one} cannot be put in`,
        items: [`${one} goes in neither before nor after ${other}. It is left out of the steps below.`],
      }),
    ),
    ...told,
  ];
}

/** How one builds into a frame. */
const ontoItsFace =
  'Lay it on its face and build towards yourself, its back towards you: all but the windows goes in from the back. Left and right are then the other way about; places and directions below stay those of the reader.';

function stageTitle({ kind, cams, bars, steps }: Stage): string {
  const has = (what: string) => steps.some((step) => step.kind === what);
  if (kind === 'train') {
    const of = [
      ...(has('plate') ? ['face plate'] : []),
      ...(has('shaft') ? ['shafts'] : []),
      ...(has('gear') ? ['gears'] : []),
    ];
    return capital(listed(of));
  }
  if (kind === 'close') return 'What closes it';
  const of = (noun: string, names: readonly string[]) =>
    names.length === 0 ? [] : [`${names.length === 1 ? noun : `${noun}s`} ${listed(names)}`];
  return capital([...of('cam', cams), ...of('bar', bars)].join(' with '));
}

/** Each level that the stage works at, and the face with the bars that are in. */
function stageDrawings({ view, stages }: Sheet, stage: Stage) {
  const { kind, cams, bars } = stage;
  if (kind !== 'bars') return [];
  const { figures } = view;
  const camOf = (bar: string) => figures.cams.find(({ segments }) => segments.includes(bar))?.name ?? [];
  const levels = new Map(
    [...cams, ...bars.flatMap(camOf)].map((name) => [figures.cams.find((cam) => cam.name === name)?.level, name]),
  );
  const soFar = stages.slice(0, stages.indexOf(stage) + 1).flatMap((one) => one.bars);
  return [
    ...[...levels.values()].map((cam) => levelAtHome(view, cam)),
    ...(bars.length > 0 ? [faceSoFar(view, soFar)] : []),
  ];
}
