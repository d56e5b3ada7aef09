/** Springs left out, and loops that are off a hook or a post: what nothing draws back stays where it is pushed. */
import type { Band, Mechanism, Spring } from '../../../language/mechanism.ts';
import { counted, named } from '../../checks/check.ts';
import { isWholeBand } from '../../reckon/force/bands.ts';
import { returnsOf } from '../../reckon/force/returns.ts';
import { leastReturns } from '../../reckon/force/steps.ts';
import type { Ground } from './build.ts';
import type { Fault, Faults, Suspect } from './fault.ts';

export function returnFaults(ground: Ground): Faults {
  const { m } = ground;
  const known = areKnown(m);
  const whole = pulled(ground, m, known);
  /** The bars that stay up in `changed`, other than those that do so anyway. */
  const suspect = (fault: Fault, changed: Mechanism): Suspect => {
    const left = pulled(ground, changed, known);
    const held = ground.figures.cams.flatMap(({ name }) => (whole.has(name) && !left.has(name) ? [name] : []));
    const more = held.filter((name) => !ridersOf(ground, name).some((bar) => fault.about.includes(bar)));
    const bars = more.flatMap((name) => ridersOf(ground, name));
    const note =
      bars.length > 0 ? `${counted('bar', bars)} then ${bars.length === 1 ? 'hangs' : 'hang'} as well` : undefined;
    return { fault: { ...fault, ...(note && { note }) }, build: { held: new Set(held) } };
  };
  const springs = m.springs.flatMap((spring) =>
    spring.returns.map(({ name }) =>
      suspect(
        {
          kind: 'spring left out',
          about: [spring.name, name],
          what: `the spring of ${name} (${spring.name}) is left out`,
        },
        withoutSpring(m, spring, name),
      ),
    ),
  );
  const bands = m.bands.flatMap((band) => [
    ...band.around.flatMap(({ name }, anchor): Suspect[] => {
      const hook = named(m.segments, name) !== undefined;
      // Of a loop whose pull is not known it is known that a bar hangs that is not in it, and no more.
      if (!hook && !isWholeBand(m, band)) return [];
      const what = `${band.name} is off ${hook ? `the hook of ${name}` : `post ${name}`}`;
      return [suspect({ kind: 'band off', about: [band.name, name], what }, without(m, band, anchor))];
    }),
    suspect(
      { kind: 'band left out', about: [band.name, ...hooked(m, band)], what: `${band.name} is left out` },
      { ...m, bands: m.bands.filter((one) => one !== band) },
    ),
  ]);
  const unreturned = m.springs.length + m.bands.length === 0;
  return {
    possible: [...springs, ...bands],
    impossible: unreturned ? [{ what: 'a spring or a loop left out', because: 'the design says none' }] : [],
    untold: [],
  };
}

const ridersOf = ({ figures }: Ground, cam: string): readonly string[] => named(figures.cams, cam)!.segments;
const hooked = (m: Mechanism, { around }: Band): string[] =>
  around.flatMap(({ name }) => (named(m.segments, name) ? [name] : []));

const withoutSpring = (m: Mechanism, spring: Spring, segment: string): Mechanism => ({
  ...m,
  springs: m.springs.map((one) =>
    one === spring ? { ...one, returns: one.returns.filter(({ name }) => name !== segment) } : one,
  ),
});

const without = (m: Mechanism, band: Band, anchor: number): Mechanism => ({
  ...m,
  bands: m.bands.map((one) => (one === band ? { ...one, around: one.around.filter((_, i) => i !== anchor) } : one)),
});

/** Whether every spring and loop is written out, so that it is known how hard it draws. */
function areKnown(m: Mechanism): boolean {
  const { returned } = returnsOf(m);
  return m.bands.every((band) => isWholeBand(m, band)) && [...inReturns(m)].every((name) => returned.has(name));
}

/** The segments that any spring or loop draws. */
const inReturns = (m: Mechanism): ReadonlySet<string> =>
  new Set([
    ...m.springs.flatMap(({ returns }) => returns.map(({ name }) => name)),
    ...m.bands.flatMap((band) => hooked(m, band)),
  ]);

/**
 * The cams whose followers come down: where forces are known, those whose return is not less than what hinders it; else
 * those of which any bar is in a spring or a loop.
 */
function pulled({ figures }: Ground, m: Mechanism, known: boolean): ReadonlySet<string> {
  const least = known ? leastReturns(m, figures) : undefined;
  const drawn = inReturns(m);
  return new Set(
    figures.cams.flatMap(({ name, segments }) => {
      const ratio = least?.get(segments[0]);
      // A follower that never falls has no ratio: it does what its cam does, whatever draws it.
      const comes = least ? ratio === undefined || ratio >= 1 : segments.some((segment) => drawn.has(segment));
      return comes ? [name] : [];
    }),
  );
}
