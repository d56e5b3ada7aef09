/** What was seen of a numeral, answered: what fits, and where to look next; for people and for programs. */
import { type Candidate, leading, type NextLook, nextLook, type Observation, weighed } from '../../search/seen.ts';
import type { Fault, SymptomTable } from '../../search/symptoms.ts';
import { caution } from '../caution.ts';
import { faceJson, faultJson } from './json.ts';
import { faceInWords, faultInWords, inLines, labelOf, spoiltInWords } from './words.ts';

export interface Diagnosis {
  readonly table: SymptomTable;
  readonly seen: readonly Observation[];
  readonly homeKnown: boolean;
  /** All looks, those that fit the most first. */
  readonly candidates: readonly Candidate[];
  /** Those still in question: the first of them. */
  readonly leading: readonly Candidate[];
  readonly next?: NextLook;
}

export function diagnosed(table: SymptomTable, seen: readonly Observation[], homeKnown: boolean): Diagnosis {
  const candidates = weighed(table, seen, homeKnown);
  const first = leading(candidates);
  const next = nextLook(table, first, seen);
  return { table, seen, homeKnown, candidates, leading: first, ...(next && { next }) };
}

export const faultsOf = ({ groups }: SymptomTable, candidate: Candidate): readonly Fault[] =>
  candidate.groups.flatMap((group) => groups[group].faults);

/** What it may be, first what is chief: of a numeral that may be right, that. */
export function causesOf(table: SymptomTable, candidate: Candidate): string[] {
  const faults = faultsOf(table, candidate).map(faultInWords);
  if (!candidate.groups.includes(0)) return faults;
  return [faults.length ? 'nothing is wrong; or something of which no face tells' : 'nothing is wrong', ...faults];
}

/** "2 looks fit all 4 things seen." */
export function verdict({ seen, leading: first }: Diagnosis): string {
  const things = seen.length === 1 ? 'the one thing' : `all ${seen.length} things`;
  const [{ fits }] = first;
  if (fits.length === seen.length) {
    return first.length === 1 ? `One look fits ${things} seen.` : `${first.length} looks fit ${things} seen.`;
  }
  const nearest = first.length === 1 ? 'the nearest fits' : `the ${first.length} nearest fit`;
  const most = fits.length === 0 ? 'none' : `${fits.length}`;
  return `No single fault fits ${things} seen; ${nearest} ${most} of them. Look again at what does not fit; or two things are wrong.`;
}

/** Looks beyond these are only counted. */
const mostListed = 12;
const mostLesser = 3;

export function diagnosisText(diagnosis: Diagnosis): string {
  const { table, seen, candidates, leading: first, next } = diagnosis;
  const lesser = candidates.slice(first.length, first.length + mostLesser).filter(({ fits }) => fits.length > 0);
  const parts = [
    `${table.name}: ${verdict(diagnosis)}`,
    ...first.slice(0, mostListed).map((candidate, i) => candidateText(diagnosis, candidate, i + 1)),
    first.length > mostListed ? `and ${first.length - mostListed} more` : '',
    next ? nextText(table, next) : '',
    lesser.length && first[0].fits.length === seen.length
      ? [
          'These fit less',
          ...lesser.map(
            (candidate) => `  ${candidate.fits.length} of ${seen.length}: ${causesOf(table, candidate)[0]}`,
          ),
        ].join('\n')
      : '',
    table.stored ? caution : '',
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function candidateText({ table, seen }: Diagnosis, candidate: Candidate, number: number): string {
  const causes = causesOf(table, candidate);
  const misfits = seen.flatMap(({ said }, i) => (candidate.fits.includes(i) ? [] : [said]));
  return [
    ...causes.map((cause, i) => `${i === 0 ? `${number}.`.padEnd(3) : '   '} ${i === 0 ? '' : 'or '}${cause}`),
    ...inLines(spoiltInWords(table, table.groups[candidate.groups[0]]), '      '),
    ...homeText(table, candidate),
    ...(misfits.length ? [`      does not fit: ${misfits.join('; ')}`] : []),
  ].join('\n');
}

/** Where home must then be, if it is not where the count began. */
function homeText(table: SymptomTable, { shifts }: Candidate): string[] {
  if (shifts.includes(0)) return [];
  return [
    `      if home is ${shifts.map((shift) => `where ${labelOf(table, (table.symbols.length - shift) % table.symbols.length)} was taken to be`).join(', or ')}`,
  ];
}

/** Faces beyond these are only counted. */
const mostFaces = 8;

function nextText(table: SymptomTable, { position, faces }: NextLook): string {
  const more = faces.length - mostFaces;
  return [
    `Look next at ${labelOf(table, position)}`,
    ...faces.slice(0, mostFaces).map(({ face, leaves }) => {
      const numbers = leaves.filter((index) => index < mostListed).map((index) => `${index + 1}`);
      const unlisted = leaves.length - numbers.length;
      const left = [...numbers, ...(unlisted > 0 ? [`${unlisted} more`] : [])].join(', ');
      return `  ${faceInWords(table, face)} → ${left}`;
    }),
    ...(more > 0 ? [`  or one of ${more} other faces`] : []),
  ].join('\n');
}

export function diagnosisJson({ table, seen, homeKnown, candidates, leading: first, next }: Diagnosis) {
  return {
    name: table.name,
    homeKnown,
    seen: seen.map(({ said, at, everywhere, sees }) => ({
      said,
      at,
      everywhere,
      sees: typeof sees === 'string' ? sees : barsJson(table, sees.face),
    })),
    fitsAll: first[0].fits.length === seen.length,
    candidates: candidates
      .filter(({ fits }) => fits.length > 0)
      .map((candidate, i) => ({
        looks: candidate.groups,
        right: candidate.groups.includes(0),
        faults: faultsOf(table, candidate).map(faultJson),
        fits: candidate.fits,
        misses: candidate.misses,
        leading: i < first.length,
        ...(!homeKnown && { shifts: candidate.shifts }),
      })),
    ...(next && {
      next: {
        position: next.position,
        symbol: table.symbols[next.position],
        faces: next.faces.map(({ face, leaves }) => ({ ...faceJson(table, face), leaves })),
      },
    }),
  };
}

/** What was said of each bar; bars of which nothing was said are left out. */
const barsJson = ({ segments }: SymptomTable, face: string): Record<string, string> =>
  Object.fromEntries(
    segments.flatMap((name, i) => (face[i] === '?' ? [] : [[name, { 1: 'shown', 0: 'hidden' }[face[i]] ?? 'between']])),
  );
