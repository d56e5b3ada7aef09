/** What ease has chosen as changes of the text, which mean the same, and in a maker's words. */
import type { Change, Law, Mechanism, Segment, Shaft } from '../../language/mechanism.ts';
import { degreesWritten, isUnique, millimetres, setting } from '../checks/check.ts';
import { anglesOf, type Choice, type Easy, shownOtherwise, toThousandth, turnedRound } from './candidates.ts';

/** Whether a law or a window is what every cam has, that may be changed, already. */
export const isGiven = (easy: readonly Easy[], { law, window }: Pick<Choice, 'law' | 'window'>): boolean =>
  easy.every(
    (one) =>
      (!law || saidOf(one, 'law') === lawWritten(law)) &&
      (!window ||
        !one.windows ||
        (window.rise === 0 &&
          window.fall === 0 &&
          saidOf(one, 'travel') === degreesWritten(anglesOf(window, one.spacing).travel))),
  );

export function lawWritten(law: Law): string {
  return 'blended' in law && law.blended !== undefined
    ? `${law.name} blended ${toThousandth(law.blended * 100)} %`
    : law.name;
}

/** A choice as changes of the text, and in a maker's words. */
export function written(
  m: Mechanism,
  easy: readonly Easy[],
  { law, window, turned, flipped }: Choice,
): { changes: Change[]; words: string[] } {
  const changes: Change[] = [];
  const words: string[] = [];
  const put = (property: Property, cams: readonly Easy[], value: (easy: Easy) => string) => {
    const lacking = cams.filter((easy) => saidOf(easy, property) !== value(easy));
    changes.push(...settings(m, property, cams, value));
    if (lacking.length) words.push(...inWords(property, lacking, value));
  };
  if (law) put('law', easy, () => lawWritten(law));
  const windowed = easy.filter(({ windows }) => windows);
  if (window) {
    const angles = ({ spacing }: Easy) => anglesOf(window, spacing);
    if (window.rise === 0 && window.fall === 0) put('travel', windowed, (easy) => degreesWritten(angles(easy).travel));
    else {
      for (const flank of ['rise', 'fall'] as const)
        put(
          flank,
          windowed,
          (easy) => `${degreesWritten(angles(easy).travel)} late ${degreesWritten(angles(easy)[flank])}`,
        );
    }
  }
  if (turned) {
    const shafts = turnedRound(m).filter((shaft, i) => shaft !== m.shafts[i]);
    changes.push(...distinct(shafts.map(turning)));
    words.push(
      `${shafts.map(({ name, turns }) => `${name} turns ${turns!.value}`).join(', ')}; the ratchet and its push are mirrored`,
    );
  }
  for (const i of [...flipped].sort((a, b) => a - b)) {
    for (const segment of easy[i].segments) {
      const after = shownOtherwise(segment);
      changes.push(
        setting(segment.name, 'shown', after.shown.value),
        ...moving(segment, after, 'bar'),
        ...moving(segment, after, 'post'),
      );
      words.push(`${segment.name} shown ${after.shown.value}${placeInWords(segment, after)}`);
    }
  }
  return { changes, words };
}

function turning({ name, turns }: Shaft): Change {
  const { by, place, value } = turns!;
  return by === 'every' ? { do: 'replace', place, text: value } : setting(name, 'turns', value);
}

function placeInWords({ bar, hook }: Segment, after: Segment): string {
  if (!bar || !after.bar) return '; move what shows it by the stroke, so that it is seen where it was';
  const { x, y } = after.bar.value.at;
  return `, its bar at ${millimetres(x, 3)}, ${millimetres(y, 3)}, so that it is seen where it was${hook ? '; its hook stays' : ''}`;
}

function moving(before: Segment, after: Segment, property: 'bar' | 'post'): Change[] {
  const [old, now] = [before[property], after[property]];
  if (!old || !now || old.by === 'default') return [];
  return (['x', 'y'] as const)
    .filter((side) => now.value.at[side] !== toThousandth(old.value.at[side]))
    .map((side) => setting(before.name, `${property} ${side}`, millimetres(now.value.at[side], 3)));
}

type Property = 'law' | 'travel' | 'rise' | 'fall';

/** What a cam has already, stated or by default; nothing of a rise and a fall, which are tried only where there is none. */
function saidOf({ cam, spacing }: Easy, property: Property): string | undefined {
  if (property === 'law') return lawWritten(cam.law.value);
  return property === 'travel' ? degreesWritten(cam.travel?.value ?? (5 / 6) * spacing) : undefined;
}

/** One value for all where all cams take the same and no other cam would take it too, else one for each cam that needs it. */
function settings(m: Mechanism, property: Property, cams: readonly Easy[], value: (easy: Easy) => string): Change[] {
  const alike = cams.length === m.cams.length && cams.every((easy) => value(easy) === value(cams[0]));
  const changes = cams
    .filter((easy) => saidOf(easy, property) !== value(easy))
    .map((easy): Change => {
      const { cam } = easy;
      const given = property === 'law' || property === 'travel' ? cam[property] : undefined;
      if (alike && given?.by === 'every') return { do: 'replace', place: given.place, text: value(easy) };
      if (alike && given?.by !== 'stated') return setting('every cam', property, value(easy));
      return setting(cam.name, property, value(easy));
    });
  return distinct(changes);
}

const distinct = (changes: readonly Change[]): Change[] =>
  changes.filter((one, i) => changes.findIndex((other) => JSON.stringify(other) === JSON.stringify(one)) === i);

function inWords(property: string, cams: readonly Easy[], value: (easy: Easy) => string): string[] {
  const values = cams.map(value).filter(isUnique);
  return values.map((text) => {
    const names = cams.filter((easy) => value(easy) === text).map(({ cam }) => cam.name);
    return `${property} ${text} for ${names.join(', ')}`;
  });
}
