/**
 * What a number other than the text's would do: those that makers vary after printing, a mechanism with one of them
 * changed, and which digits that makes bind or hang. The text is not touched; `--set` does the same in the command line.
 */
import type { Given, Mechanism, Part, Spring } from '../../../language/mechanism.ts';
import { type Figures, reforced } from '../../reckon/figures.ts';
import { coilFigure } from '../../reckon/force/coils.ts';
import type { CaseFigure, StepForce } from '../../reckon/force/steps.ts';
import type { Tagged, View } from './view.ts';
import { listed, plain } from './words.ts';

type Parts = 'bands' | 'springs' | 'pushes' | 'ratchets';

/** A number of the mechanism that can be tried, in the unit it is told in (mm, N, N/mm, N·mm). */
export type Choice = {
  /** As `--set` names it: "rim.loop"; "assembled"; "drag" is that of all segments. */
  readonly key: string;
  readonly property: string;
} & (
  | { readonly of: Parts; readonly name: string; readonly unit: string; readonly stated: readonly [number] }
  | { readonly of: 'segments'; readonly unit: string; readonly stated: readonly number[] }
  | { readonly of: 'mechanism'; readonly stated: Assembled }
);

export type Assembled = 'dry' | 'greased';

/** What is tried instead of the text's value. */
export interface Trial {
  readonly choice: Choice;
  readonly value: number | Assembled;
}

/** In the order in which makers ask; each with its unit. */
const numbers: readonly (readonly [Parts, string, string])[] = [
  ['bands', 'loop', 'mm'],
  ['springs', 'preload', 'N'],
  ['springs', 'rate', 'N/mm'],
  ['pushes', 'arm', 'mm'],
  ['ratchets', 'hold', 'N·mm'],
];

/** Values that nothing is wrong with at 0: no preload, no drag, a ratchet that does not hold. */
const mayBeNone = new Set(['preload', 'hold', 'drag']);

/** No part of a numeral has a number beyond these; what is drawn would not be finite. */
const [least, most] = [0.001, 100_000];

/** Whether its rate follows from its coil, whatever the text states. */
const hasCoil = (spring: Spring): boolean => !('because' in coilFigure(spring));

const givenOf = <T>(part: object, property: string): Given<T> | undefined =>
  (part as Readonly<Record<string, Given<T> | undefined>>)[property];

/** The numbers that the text states, of all parts in the order of the text; defaults of drag and assembly too. */
export function choicesOf(mechanism: Mechanism): Choice[] {
  const stated = numbers.flatMap(([of, property, unit]) =>
    (mechanism[of] as readonly Part[]).flatMap((part): Choice[] => {
      const given = givenOf<number>(part, property);
      if (given === undefined || (property === 'rate' && hasCoil(part as Spring))) return [];
      const key = `${part.name}.${property}`;
      return [{ key, of, name: part.name, property, unit, stated: [given.value] }];
    }),
  );
  const drags = [...new Set(mechanism.segments.map(({ drag }) => drag.value))].sort((one, other) => one - other);
  return [
    ...stated,
    { key: 'assembled', of: 'mechanism', property: 'assembled', stated: mechanism.assembled.value },
    ...(drags.length > 0 ? [{ key: 'drag', of: 'segments' as const, property: 'drag', unit: 'N', stated: drags }] : []),
  ];
}

/** The mechanism with that value in place of the text's; itself in all else. */
export function withValue(mechanism: Mechanism, choice: Choice, value: Trial['value']): Mechanism {
  const { of, property } = choice;
  const changed = <P extends object>(part: P): P => {
    return { ...part, [property]: { ...givenOf(part, property), value } };
  };
  if (of === 'mechanism') return changed(mechanism);
  if (of === 'segments') return { ...mechanism, segments: mechanism.segments.map(changed) };
  const parts = mechanism[of] as readonly { readonly name: string }[];
  return { ...mechanism, [of]: parts.map((part) => (part.name === choice.name ? changed(part) : part)) };
}

/** A number as it was typed, with or without its unit, or what is wrong with it. */
export function numberIn(text: string, choice: Extract<Choice, { unit: string }>): number | string {
  const { property, unit } = choice;
  const [, written = '', said] = /^(.*?)\s*(mm|N\/mm|N·mm|Nmm|N)?$/.exec(text.trim()) ?? [];
  if (written === '') return `Give a number in ${unit}.`;
  const value = Number(written.replace(',', '.').replace('−', '-'));
  if (!Number.isFinite(value)) return `“${text.trim()}” is not a number.`;
  if (said !== undefined && said.replace('Nmm', 'N·mm') !== unit) return `${property} is given in ${unit}.`;
  if (value < 0) return `${property} cannot be less than 0.`;
  if (value === 0) return mayBeNone.has(property) ? 0 : `${property} must be more than 0 ${unit}.`;
  if (value < least) return `Less than ${least} ${unit} is not reckoned.`;
  return value > most ? `More than ${most} ${unit} is not reckoned.` : value;
}

// ---- words -------------------------------------------------------------------------------------

/** "155 mm", "0.3 N to 0.7 N", "greased". */
export function statedText(choice: Choice): string {
  if (choice.of === 'mechanism') return choice.stated;
  const [first, last] = [choice.stated[0]!, choice.stated.at(-1)!];
  const one = (value: number) => `${plain(value, 3)} ${choice.unit}`;
  return first === last ? one(first) : `${one(first)} to ${one(last)}`;
}

const valueText = ({ choice, value }: Trial): string =>
  typeof value === 'number' && 'unit' in choice ? `${plain(value, 3)} ${choice.unit}` : String(value);

/** "what if: rim.loop 140 mm (text: 155 mm)". */
const trialText = (trial: Trial): string =>
  `what if: ${trial.choice.key} ${valueText(trial)} (text: ${statedText(trial.choice)})`;

/** How the command line is asked the same. */
export function setText({ of, key, stated }: Choice, mechanism: Mechanism): string {
  const value = of !== 'mechanism' ? '…' : stated === 'dry' ? 'greased' : 'dry';
  const name = of === 'segments' ? `${mechanism.segments[0]!.name}.${key}` : key;
  return `The text stays as it is. In the command line: lobewright check FILE --set "${name}=${value}"${
    of === 'segments' ? ', once for each segment' : ''
  }`;
}

// ---- what it does ------------------------------------------------------------------------------

/** Findings that may be other ones where such a number is: a trial does not show them. */
const ofForces = new Set([
  'heavy-push',
  'slack-return',
  'guide-jam',
  'cam-overruns',
  'slack-band',
  'tired-spring',
  'short-rest',
  'half-shown',
]);

/** The view with the forces that a trial gives; its motion, its shape and what was found of them are the text's. */
export function triedView(view: View, trial: Trial): View {
  const mechanism = withValue(view.mechanism, trial.choice, trial.value);
  const figures = reforced(mechanism, view.figures);
  const stands = ({ finding }: Tagged) => !ofForces.has(finding.code);
  const groups = view.groups.map((group) => ({
    ...group,
    rows: group.rows.map((row) => ({
      ...row,
      figure: figures.cams.find(({ name }) => name === row.cam.name),
      marks: row.marks.filter(stands),
    })),
  }));
  return {
    ...view,
    mechanism,
    figures,
    groups,
    rows: groups.flatMap(({ rows }) => rows),
    findings: view.findings.filter(stands),
    general: view.general.filter(stands),
    tried: trialText(trial),
  };
}

/** Names of digits, each once; of very many the first ones. */
function digits(names: readonly string[]): string {
  const all = [...new Set(names.map((name) => name.trim() || 'blank'))];
  const told = 12;
  return all.length <= told ? listed(all) : `${all.slice(0, told).join(', ')} and ${all.length - told} more`;
}

/** Which digits bind, push too hard, run on or come back slack with these figures, in one sentence. */
export function digitsSentence({ mechanism, figures }: Pick<View, 'mechanism' | 'figures'>): string {
  const cases = figures.forces.cases.filter(({ usedByFindings }) => usedByFindings);
  if (cases.length === 0) return 'Push and return are not reckoned.';
  const told = cases
    .map((one) => ({ way: one.direction, clauses: clausesOf(mechanism, figures, one) }))
    .filter(({ clauses }) => clauses.length > 0)
    .map(({ way, clauses }) => (cases.length > 1 ? `${way}: ` : '') + clauses.join('; '));
  const all = told.join('; ') || 'nothing binds, and all comes back';
  return `${all[0]!.toUpperCase()}${all.slice(1)}.`;
}

function clausesOf(mechanism: Mechanism, { positions, shafts }: Figures, { steps, direction }: CaseFigure): string[] {
  const forward = direction === 'forward';
  const start = ({ index }: StepForce) => positions[index]!.symbol;
  const end = ({ index }: StepForce) => positions[(index + 1) % positions.length]!.symbol;
  const [from, to] = forward ? [start, end] : [end, start];
  const { push, return: slack } = mechanism.limits;
  const [ratchet] = mechanism.ratchets;
  const ratio = shafts.find(({ name }) => name === ratchet?.shaft?.name)?.ratio;
  const hold = ratchet?.hold && ratio ? (ratchet.hold.value * Math.abs(ratio.num)) / ratio.den : undefined;
  const clause = (says: string, symbol: (step: StepForce) => string, holds: (step: StepForce) => boolean) => {
    const found = steps.filter(holds);
    return found.length > 0 ? [`${says} ${digits(found.map(symbol))}`] : [];
  };
  const returned = ({ returnMargin }: StepForce) => returnMargin?.ratio ?? Infinity;
  return [
    ...clause('binds going to', to, ({ jammed }) => jammed.length > 0),
    ...clause(
      `takes more than ${plain(push?.value ?? 0)} N going to`,
      to,
      ({ peakPush = 0 }) => push !== undefined && peakPush > push.value + 1e-9,
    ),
    ...clause('runs on going to', to, ({ leastTorque = 0 }) => hold !== undefined && -leastTorque > hold + 1e-6),
    ...clause('does not come back after', from, (step) => returned(step) < 1 - 1e-9),
    ...clause(
      'comes back slack after',
      from,
      (step) => returned(step) >= 1 - 1e-9 && returned(step) < slack.value - 1e-9,
    ),
  ];
}
