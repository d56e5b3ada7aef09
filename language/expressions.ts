/**
 * Reckons the value of an expression, checking dimensions on the way. Never throws: what cannot be reckoned is told
 * once, at the operand that causes it, and has no value. Works with a stack of its own, so that neither a sum of ten
 * thousand terms nor a long chain of `let`s runs out of room.
 */
import type { Calculation, Call, Expression, Let, NameUse, Negative, Quantity, Value } from './generated/ast.ts';
import type { Place } from './mechanism.ts';
import { nearest } from './near.ts';
import { placeAt, placeOf, placeOfFeature, rewrite, type Stretch, type Telling, tell } from './telling.ts';
import {
  angle,
  called,
  combine,
  type Dimension,
  halved,
  inBase,
  plain,
  sameDimension,
  units,
  type Wanted,
  wantedOf,
} from './units.ts';
import { halfRead } from './values.ts';

/** A reckoned quantity in base units; `tolerance` is a half-width, worst case, to first order. */
export interface Amount {
  readonly value: number;
  readonly dimension: Dimension;
  readonly tolerance: number;
}

/** What is shared while the values of one mechanism are reckoned: each `let` is reckoned once. */
export interface Workings {
  readonly telling: Telling;
  readonly lets: Map<Let, Amount | 'under way' | undefined>;
}

export const functions = ['min', 'max', 'sqrt', 'sin', 'cos', 'tan'] as const;

const exact = (value: number, dimension: Dimension): Amount => ({ value, dimension, tolerance: 0 });

type Step =
  | Expression
  | Value
  | { readonly apply: Calculation | Call | Negative | Value }
  | { readonly keep: Let }
  | undefined;

/** The amount of a value; undefined where it has none (told here, or a half-written text that the parser told). */
export function reckon(workings: Workings, value: Value | Expression | undefined): Amount | undefined {
  if (value?.$type === 'Quantity') return quantity(workings, value);
  const steps: Step[] = [value];
  const amounts: (Amount | undefined)[] = [];
  while (steps.length) {
    const step = steps.pop();
    if (!step) amounts.push(undefined);
    else if ('apply' in step) amounts.push(apply(workings, step.apply, amounts));
    else if ('keep' in step) workings.lets.set(step.keep, amounts.at(-1));
    else unfold(workings, step, steps, amounts);
  }
  return amounts.pop();
}

/** Puts an expression's own amount on the pile, or the steps that lead to it. */
function unfold(workings: Workings, node: Expression | Value, steps: Step[], amounts: (Amount | undefined)[]): void {
  switch (node.$type) {
    case 'Quantity':
      amounts.push(quantity(workings, node));
      break;
    case 'Value':
      if (halfRead.has(node)) {
        amounts.push(undefined);
        break;
      }
      if (node.tolerance) steps.push({ apply: node }, node.tolerance);
      steps.push(node.expression);
      break;
    case 'Negative':
      steps.push({ apply: node }, node.operand);
      break;
    case 'Calculation':
      steps.push({ apply: node }, node.right, node.left);
      break;
    case 'Call':
      steps.push({ apply: node });
      for (let i = node.arguments.length - 1; i >= 0; i--) steps.push(node.arguments[i]);
      break;
    case 'NameUse': {
      const named = node.named?.ref;
      const known = named && workings.lets.get(named);
      if (!named) amounts.push(undefined);
      else if (known === 'under way') {
        tellCircle(workings, node, named);
        amounts.push(undefined);
      } else if (workings.lets.has(named)) amounts.push(known);
      else {
        workings.lets.set(named, 'under way');
        steps.push({ keep: named }, named.value);
      }
      break;
    }
  }
}

/** The amount of a node whose parts' amounts lie on the pile; takes them from there. */
function apply(
  workings: Workings,
  node: Calculation | Call | Negative | Value,
  amounts: (Amount | undefined)[],
): Amount | undefined {
  switch (node.$type) {
    case 'Value': {
      const tolerance = amounts.pop();
      return toleranced(workings, node, amounts.pop(), tolerance);
    }
    case 'Negative': {
      const amount = amounts.pop();
      return amount && { ...amount, value: -amount.value };
    }
    case 'Calculation': {
      const right = amounts.pop();
      const left = amounts.pop();
      return left && right && calculation(workings, node, left, right);
    }
    case 'Call': {
      const given = node.arguments.length ? amounts.splice(-node.arguments.length) : [];
      return call(workings, node, given);
    }
  }
}

// ---- single quantities -----------------------------------------------------------

/** Other spellings of units that mean the same size, so that a fix may put the unit's own word. */
const spellings: ReadonlyMap<string, string> = new Map(
  Object.entries({
    mm: 'millimetre millimetres millimeter millimeters',
    um: 'micron microns micrometre micrometer',
    cm: 'centimetre centimetres centimeter centimeters',
    in: 'inch inches',
    deg: 'degree degrees degs',
    rad: 'radian radians rads',
    turn: 'turns rev revs revolution revolutions',
    N: 'newton newtons',
    g: 'gram grams gramme grammes',
    s: 'sec secs second seconds',
    '%': 'percent',
  }).flatMap(([unit, words]) => words.split(' ').map((word) => [word, unit] as const)),
);

function quantity({ telling }: Workings, node: Quantity): Amount | undefined {
  const number = Number(node.number);
  if (node.unit === undefined) return finite(telling, node, exact(number, plain));
  const unit = units.get(node.unit);
  if (unit) return finite(telling, node, exact(inBase(number, unit), unit.dimension));
  const same = spellings.get(node.unit.toLowerCase());
  const near = same ? [same] : nearest(node.unit, units.keys());
  const place = placeOfFeature(telling, node, 'unit');
  tell(telling, 'unknown-unit', `unknown unit '${short(node.unit)}'; ${adviseUnit(near)}`, place, {
    fixes: near.map((word) => rewrite(place, word)),
  });
  return undefined;
}

const adviseUnit = (near: readonly string[]): string =>
  near.length ? `did you mean ${near.join(' or ')}?` : `units are ${[...units.keys()].join(', ')}`;

const short = (word: string): string => (word.length > 30 ? `${word.slice(0, 29)}…` : word);

function finite(telling: Telling, node: Expression, amount: Amount): Amount | undefined {
  if (Number.isFinite(amount.value) && Number.isFinite(amount.tolerance)) return amount;
  tell(telling, 'bad-value', 'this is too large a number to reckon with', placeOfExpression(telling, node));
  return undefined;
}

function toleranced(
  { telling }: Workings,
  node: Value,
  amount: Amount | undefined,
  tolerance: Amount | undefined,
): Amount | undefined {
  if (!amount || !tolerance) return amount;
  if (!sameDimension(amount.dimension, tolerance.dimension)) {
    tellWrong(telling, node.tolerance, amount.dimension, tolerance);
    return amount;
  }
  if (tolerance.value < 0) {
    const place = placeOf(telling, node.tolerance);
    tell(telling, 'bad-value', 'a tolerance is given without a sign: it counts either way', place);
    return amount;
  }
  return { ...amount, tolerance: tolerance.value };
}

// ---- arithmetic ---------------------------------------------------------------------

function calculation({ telling }: Workings, node: Calculation, left: Amount, right: Amount): Amount | undefined {
  switch (node.operator) {
    case '+':
    case '-': {
      if (!sameDimension(left.dimension, right.dimension)) {
        // Of a plain number and a quantity, it is the number that lacks its unit.
        if (sameDimension(left.dimension, plain)) tellWrong(telling, node.left, right.dimension, left);
        else tellWrong(telling, node.right, left.dimension, right);
        return undefined;
      }
      const value = node.operator === '+' ? left.value + right.value : left.value - right.value;
      const tolerance = left.tolerance + right.tolerance;
      return finite(telling, node, { value, dimension: left.dimension, tolerance });
    }
    case '*':
      return finite(telling, node, {
        value: left.value * right.value,
        dimension: combine(left.dimension, right.dimension, 1),
        tolerance: Math.abs(left.value) * right.tolerance + Math.abs(right.value) * left.tolerance,
      });
    case '/': {
      if (right.value === 0) {
        tell(
          telling,
          'bad-value',
          'this is zero, and nothing can be divided by zero',
          placeOfExpression(telling, node.right),
        );
        return undefined;
      }
      const value = left.value / right.value;
      return finite(telling, node, {
        value,
        dimension: combine(left.dimension, right.dimension, -1),
        tolerance: (left.tolerance + Math.abs(value) * right.tolerance) / Math.abs(right.value),
      });
    }
    default:
      return undefined;
  }
}

function call(workings: Workings, node: Call, given: readonly (Amount | undefined)[]): Amount | undefined {
  const { telling } = workings;
  const name = node.function as (typeof functions)[number];
  if (!functions.includes(name)) {
    const near = nearest(node.function, functions);
    const place = placeOfFeature(telling, node, 'function');
    const advice = near.length ? `did you mean ${near.join(' or ')}?` : `there are ${functions.join(', ')}`;
    tell(telling, 'unknown-function', `unknown function '${short(node.function)}'; ${advice}`, place, {
      fixes: near.map((word) => rewrite(place, word)),
    });
    return undefined;
  }
  const many = name === 'min' || name === 'max';
  if (many ? !given.length : given.length !== 1) {
    const wish = many ? 'one value or more' : 'one value';
    tell(telling, 'bad-value', `${name} takes ${wish}, found ${given.length || 'none'}`, placeOf(telling, node));
    return undefined;
  }
  const [first] = given;
  if (!first) return undefined;
  const { value, tolerance } = first;
  switch (name) {
    case 'min':
    case 'max':
      return extreme(telling, node, name, given);
    case 'sqrt':
      if (value < 0) {
        const place = placeOfExpression(telling, node.arguments[0]);
        tell(telling, 'bad-value', 'this is negative, and a negative number has no square root', place);
        return undefined;
      }
      return {
        value: Math.sqrt(value),
        dimension: halved(first.dimension),
        tolerance: value > 0 ? tolerance / (2 * Math.sqrt(value)) : 0,
      };
    default: {
      if (!sameDimension(first.dimension, angle)) {
        tellWrong(telling, node.arguments[0], angle, first);
        return undefined;
      }
      const slope = name === 'sin' ? Math.cos(value) : name === 'cos' ? -Math.sin(value) : 1 / Math.cos(value) ** 2;
      return { value: Math[name](value), dimension: plain, tolerance: tolerance && Math.abs(slope) * tolerance };
    }
  }
}

/** The least or greatest of values of one dimension. */
function extreme(
  telling: Telling,
  node: Call,
  name: 'min' | 'max',
  given: readonly (Amount | undefined)[],
): Amount | undefined {
  let found = given[0];
  for (let i = 1; i < given.length; i++) {
    const next = given[i];
    if (!found || !next) return undefined;
    if (!sameDimension(next.dimension, found.dimension)) {
      tellWrong(telling, node.arguments[i], found.dimension, next);
      return undefined;
    }
    if (name === 'min' ? next.value < found.value : next.value > found.value) found = next;
  }
  return found;
}

/** Tells of a `let` that leads back to itself, at the use that closes the circle. */
function tellCircle({ telling, lets }: Workings, use: NameUse, named: Let): void {
  const open = [...lets].flatMap(([each, amount]) => (amount === 'under way' ? [each] : []));
  const circle = open.slice(open.indexOf(named));
  const names = circle.map(({ name }) => name);
  const round = circle.length > 1 ? `: ${[...names, named.name].join(' needs ')}` : '';
  const message = `${named.name} is reckoned from itself${round}; give ${circle.length > 1 ? 'one of them' : 'it'} a value of its own`;
  tell(telling, 'circular-let', message, placeOf(telling, use), {
    about: names,
    related: circle.map((each) => ({
      place: placeOfFeature(telling, each, 'name'),
      message: `${each.name} is given here`,
    })),
  });
}

// ---- telling -----------------------------------------------------------------------------

/** Tells that a value's dimension is not the expected one, at that value. */
function tellWrong(telling: Telling, node: Expression | undefined, due: Dimension, found: Amount): void {
  const want = wantedOf(due);
  tellUnwanted(telling, placeOfExpression(telling, node), want ?? { dimension: due, called: called(due) }, found, node);
}

/** Tells that a value is not what a property asks for. */
export function tellUnwanted(
  telling: Telling,
  place: Place,
  want: Pick<Wanted, 'dimension' | 'called'> & Partial<Wanted>,
  found: Amount,
  node?: Expression,
): void {
  const such = want.example ? ` such as ${want.example}` : '';
  const message = `expected ${want.called}${such}, found ${called(found.dimension)}${adviseAngle(want.dimension, found)}`;
  const bare = literal(node);
  const text = want.unit && bare && bare.unit === undefined ? `${signed(node)}${bare.number} ${want.unit}` : undefined;
  tell(telling, 'wrong-dimension', message, place, { fixes: text ? [rewrite(place, text)] : [] });
}

/** An arc is a radius times an angle; the angle's own dimension has to be taken out. */
function adviseAngle(due: Dimension, found: Amount): string {
  const spare = found.dimension[1] - due[1];
  const others = due.every((power, i) => i === 1 || power === found.dimension[i]);
  if (!others || due[1] !== 0) return '';
  return spare === 1 && found.dimension[0] !== 0 ? '; divide it by 1 rad' : '';
}

/** A number with or without its unit, a sign before it or not. */
export function literal(node: Expression | undefined): Quantity | undefined {
  const inner = node?.$type === 'Negative' ? node.operand : node;
  return inner?.$type === 'Quantity' ? inner : undefined;
}

const signed = (node: Expression | undefined): string => (node?.$type === 'Negative' ? '-' : '');

/** All operands of one row of operators share one text node: the place of a part of it is that of its own operands. */
export function placeOfExpression(telling: Telling, node: Expression | undefined): Place {
  if (node?.$type !== 'Calculation') return placeOf(telling, node);
  let first: Expression = node;
  let last: Expression = node;
  while (first?.$type === 'Calculation' && first.left) first = first.left;
  while (last?.$type === 'Calculation' && last.right) last = last.right;
  const [from, to] = [first.$cstNode?.offset ?? telling.start, last.$cstNode?.end ?? telling.start];
  const operands: readonly Stretch[] =
    node.$cstNode && 'content' in node.$cstNode ? (node.$cstNode.content as readonly Stretch[]) : [];
  return placeAt(telling, {
    offset: operands.find((operand) => operand.offset <= from && from < operand.end)?.offset ?? from,
    end: operands.find((operand) => operand.offset < to && to <= operand.end)?.end ?? to,
  });
}
