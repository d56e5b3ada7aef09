import type { Mechanism, Spring } from '../../language/mechanism.ts';
import type { CoilFigure } from '../reckon/force/coils.ts';
import { flawOf, leastFree, type SpringFigure } from '../reckon/force/springs.ts';
import { at, type Check, type Found, fix, millimetres, named, plain, rewriting, roundUp } from './check.ts';
import { lampBoard } from './examples.ts';
import { springCaution } from './springs.ts';

const coils = (sizes: string) =>
  lampBoard({ more: `spring coils { returns left right   coil compression   ${sizes}   preload 0.9 N }` });

/** Wire is drawn, and springs are wound, no more exactly than this (common practice). */
const agreement = 0.05;

export const contrarySpring: Check = {
  code: 'contrary-spring',
  severity: 'error',
  title: 'A spring that says two things of itself',
  means:
    'Its sizes make no spring (a mean diameter not larger than the wire, turns that alone are as long as the whole), or its ' +
    `stated rate is not that of its coil: a warning, and the coil’s is reckoned with. ${springCaution}`,
  reckoned:
    'R = G·d⁴/(8·D³·n) against the stated rate, within 5 %; D > d; free length > (n + 2)·d, or (n + 1)·d of an extension spring.',
  source:
    'EN 13906-1 and -2 (from memory); Shigley’s Mechanical Engineering Design, eq. 10-9 and Table 10-1. The 5 % are common practice.',
  worked:
    'Wire 0.5 mm, mean diameter 5 mm, ten turns, 81.5 GPa: 81500·0.0625/(8·125·10) = 0.509 N/mm; a stated rate of 0.08 N/mm contradicts it.',
  remedy: 'Take away what you do not know for sure: a measured rate needs no coil, and a coil needs no rate.',
  examples: [
    {
      title: 'Another rate than its coil’s',
      text: coils('wire 0.5 mm   mean 5 mm   turns 10   free 30 mm   rate «0.08 N/mm»'),
    },
    { title: 'Wire and diameter swapped', text: coils('wire 5 mm   mean «0.5 mm»   turns 10   free 30 mm') },
    { title: 'Shorter than its turns', text: coils('wire 0.5 mm   mean 5 mm   turns 60   free «30 mm»') },
    { title: 'A coil and nothing against it', text: coils('wire 0.3 mm   mean 5 mm   turns 10   free 60 mm') },
  ],
  find(m, f) {
    return m.springs.flatMap((spring): Found[] => {
      const flaw = flawOf(spring);
      if (flaw) return [flawFound(m, spring, flaw.because)];
      const figure = named(f.springs, spring.name);
      return figure?.coil ? rateFound(spring, figure, figure.coil) : [];
    });
  },
};

function flawFound(m: Mechanism, spring: Spring, because: string): Found {
  const [wire, mean, turns, free] = [spring.wire!, spring.mean!, spring.turns!, spring.free];
  if (mean.value <= wire.value) {
    return {
      message: because,
      place: mean.place,
      about: [spring.name],
      figures: { wire: wire.value, mean: mean.value },
      related: [at(wire.place, 'its wire')],
      fixes:
        mean.value < wire.value
          ? [
              fix(
                'Swap wire and mean diameter',
                rewriting(wire, spring, 'wire', millimetres(mean.value, 3)),
                rewriting(mean, spring, 'mean', millimetres(wire.value, 3)),
              ),
            ]
          : [],
    };
  }
  const least = leastFree(m, spring)!;
  const longer = millimetres(roundUp(least + wire.value, 0.5));
  return {
    message: `${because}: ${plain(turns.value, 2)} turns of ${millimetres(wire.value, 3)} wire; free ${longer} would do`,
    place: free!.place,
    about: [spring.name],
    figures: { free: free!.value, least },
    related: [at(turns.place, 'its turns')],
    fixes: [fix(`Give ${spring.name} free ${longer}`, rewriting(free!, spring, 'free', longer))],
  };
}

function rateFound(spring: Spring, { rate }: SpringFigure, coil: CoilFigure): Found[] {
  if (!spring.rate || Math.abs(spring.rate.value / rate - 1) <= agreement) return [];
  const stated = plain(spring.rate.value, 4);
  const due = `${Number(rate.toPrecision(3))} N/mm`;
  return [
    {
      severity: 'warning',
      message: `the coil of ${spring.name} has a rate of ${due}, but ${stated} N/mm is stated; the coil’s is reckoned with`,
      place: spring.rate.place,
      about: [spring.name],
      figures: { rate: spring.rate.value, coil: rate },
      related: [
        at(spring.wire!.place, `its wire: index ${plain(coil.index, 2)}`),
        ...(coil.modulusByDefault ? [] : [at(spring.modulus!.place, 'its shear modulus')]),
      ],
      fixes: [fix(`Say rate ${due}`, rewriting(spring.rate, spring, 'rate', due))],
    },
  ];
}
