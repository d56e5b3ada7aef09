import type { Cam, Mechanism, Segment, Shaft } from '../../language/mechanism.ts';
import { undriven } from '../reckon/motion/positions.ts';
import { type Check, fix, isUnique, millimetres, symbols, wants } from './check.ts';
import { lampBoard } from './examples.ts';
import { nextFreeLevel } from './levels.ts';

export const undrivenSegment: Check = {
  code: 'undriven-segment',
  severity: 'error',
  title: 'No cam drives a segment',
  means:
    'Nothing lifts this bar: it stays lowered at every rest position. An error where the count wants it otherwise at ' +
    'some symbol; information where lowered is right all the time; a warning where no glyph says what is right.',
  reckoned: 'The segments that no `cam … drives` names, against what each counted symbol shows.',
  source: 'The design itself.',
  worked: 'Bar g of a numeral `0 … 9` without a cam: 2, 3, 4, 5, 6, 8 and 9 have no middle.',
  remedy: 'Add a cam: `cam camG on upper level 4 drives g`. A bar that never has to move may well do without one.',
  examples: [
    { title: 'A cam forgotten', text: lampBoard({ camR: '', right: 'segment «right» { azimuth 0 deg }' }) },
    { title: 'A cam for every bar', text: lampBoard() },
  ],
  find(m) {
    return undriven(m).map((segment) => {
      const wanted = wants(m, segment.name);
      const still = segment.shown.value === 'lowered';
      const wrong = m.count?.symbols.filter((_, i) => wanted[i] === !still).map(({ text }) => text) ?? [];
      const judged = wanted.some((want) => want !== undefined);
      const stays = `no cam drives bar ${segment.name}, so it stays ${still ? 'shown' : 'hidden'}`;
      return {
        severity: wrong.length ? 'error' : judged ? 'information' : 'warning',
        message: wrong.length
          ? `${stays}, and ${symbols(wrong)} cannot be shown`
          : judged
            ? `${stays}, which is right for every counted symbol`
            : `no cam drives bar ${segment.name}`,
        place: segment.place,
        about: [segment.name],
        figures: { symbols: wrong.filter(isUnique) },
        positions: wanted.flatMap((want, i) => (want === !still ? [i] : [])),
        fixes: wrong.length || !judged ? camFor(m, segment) : [],
      };
    });
  },
};

/** A cam for a segment, on the shaft that its bar slides away from. */
function camFor(m: Mechanism, segment: Segment) {
  const shaft = shaftBehind(m, segment);
  if (!shaft) return [];
  const name = `cam${segment.name[0].toUpperCase()}${segment.name.slice(1)}`;
  const model = m.cams.find((cam) => cam.shaft?.name === shaft.name) ?? m.cams[0];
  const own = model ? ownValues(model) : '';
  const statement = `cam ${name} on ${shaft.name} level ${nextFreeLevel(m, shaft.name)} drives ${segment.name}${own}`;
  return [fix(`Add ${name} on ${shaft.name}`, { do: 'add', statement })];
}

/** The values that the model states for itself alone, which `every cam` will not give to another. */
function ownValues({ base }: Cam): string {
  return base?.by === 'stated' ? ` { base ${millimetres(base.value, 3)} }` : '';
}

function shaftBehind(m: Mechanism, segment: Segment): Shaft | undefined {
  const carrying = m.shafts.filter((shaft) => m.cams.some((cam) => cam.shaft?.name === shaft.name));
  const { azimuth, bar } = segment;
  if (!azimuth || !bar || carrying.length < 2) return carrying[0];
  const [dx, dy] = [Math.cos(azimuth.value), Math.sin(azimuth.value)];
  const aside = ({ at }: Shaft): number => {
    if (!at) return Number.POSITIVE_INFINITY;
    const [x, y] = [bar.value.at.x - at.value.x, bar.value.at.y - at.value.y];
    const along = x * dx + y * dy;
    return Math.abs(x * dy - y * dx) + (along < 0 ? Math.abs(along) : 0);
  };
  return carrying.reduce((best, shaft) => (aside(shaft) < aside(best) ? shaft : best));
}
