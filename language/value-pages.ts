/** Pages of what can be wrong with the values of a design: units, names of functions, ranges, things said twice. */
import type { FindingPage } from './page.ts';

/** A pier's flag, up or down: one shaft, one cam, one bar. An example says only what is special about it. */
const flagDesign = {
  head: '',
  lets: '',
  count: 'count down up',
  segment: 'segment flag { azimuth 90 deg   stroke 12 mm   nose 2 mm   bar 30 mm by 8 mm at 0 mm, 60 mm }',
  cam: 'cam lifter on axle level 1 drives flag { base 14 mm   travel 120 deg }',
  more: '',
  table: 'glyphs flagged { segments flag   down = blank   up = flag }',
};

function pierFlag(changed: Partial<typeof flagDesign> = {}): string {
  const { head, table, ...lines } = { ...flagDesign, ...changed };
  const { lets, count, segment, cam, more } = lines;
  const shaft = 'shaft axle { at 0 mm, 0 mm   turns clockwise }';
  const body = [lets, 'glyphs flagged', count, shaft, segment, cam, more].filter((line) => line !== '');
  return `${head}mechanism PierFlag {\n${body.map((line) => `  ${line}\n`).join('')}}\n\n${table}\n`;
}

const camWith = (properties: string) => `cam lifter on axle level 1 drives flag { ${properties} }`;

const unknownUnit: FindingPage = {
  code: 'unknown-unit',
  severity: 'error',
  title: 'A unit that the language does not have',
  means: 'The word right after the number is no unit of the language, so the value counts as not said.',
  reckoned:
    'Lengths: `mm` `um` `cm` `in`. Angles: `deg` `rad` `turn`. Forces: `N` `mN`. Spring rates: `N/mm`. Torques: `Nmm`. ' +
    'Stresses and moduli: `MPa` `GPa`. Masses: `g`. Densities: `g/cm3`. Times: `s` `ms`. Shares: `%`.',
  source: 'ISO 80000-3 and -4; one inch is 25.4 mm.',
  worked: '`12 inches` is written `12 in` and is 304.8 mm.',
  remedy: 'Take one of these units. Where the word is near to one of them, it is offered.',
  examples: [
    { title: 'A unit spelled out', text: pierFlag({ cam: camWith('base 14 mm   travel 120 «degrees»') }) },
    { title: 'The unit’s own word', text: pierFlag() },
  ],
};

const wrongDimension: FindingPage = {
  code: 'wrong-dimension',
  severity: 'error',
  title: 'A length where an angle is due, a number without its unit',
  means:
    'The value is of another kind than the property asks for, or two values that cannot be added or compared are. It counts ' +
    'as not said. A number never stands for a quantity: `12` is no length.',
  reckoned:
    'Every unit is a product of powers of mm, rad, N, g and s. `*` and `/` add and subtract powers, `sqrt` halves them; `+`, ' +
    '`-`, `min` and `max` want equal ones; `sin`, `cos` and `tan` want an angle and give a number. An angle is a kind of its own: ' +
    'an arc is `radius * angle / 1 rad`.',
  source: 'Dimensional analysis, as in ISO 80000-1; that angles count as a kind of their own is a choice made here.',
  worked: '`8 N / (2 N/mm)` is 4 mm: the forces cancel. `2 mm * 3 mm` is 6 mm^2, which no property asks for.',
  remedy: 'Write the unit, or mend the arithmetic at the place that is marked.',
  examples: [
    { title: 'An angle given as a length', text: pierFlag({ cam: camWith('base 14 mm   travel «120 mm»') }) },
    { title: 'A number without a unit', text: pierFlag({ cam: camWith('base «14»   travel 120 deg') }) },
    { title: 'A sum of two kinds', text: pierFlag({ cam: camWith('base 10 mm + «4 deg»   travel 120 deg') }) },
    { title: 'An angle that comes of arithmetic', text: pierFlag({ cam: camWith('base 14 mm   travel 1 turn / 3') }) },
  ],
};

const unknownFunction: FindingPage = {
  code: 'unknown-function',
  severity: 'error',
  title: 'A function that the language does not have',
  means: 'The word before the parenthesis is no function, so the value counts as not said.',
  reckoned: 'There are `min` `max` of one value or more, `sqrt` of one, and `sin` `cos` `tan` of one angle.',
  source: 'The language reference.',
  worked: '`max(12 mm, 1 in)` is 25.4 mm; `sqrt(9 mm * 4 mm)` is 6 mm.',
  remedy: 'Take one of these functions, or write the value out.',
  examples: [
    {
      title: 'A function by another name',
      text: pierFlag({ cam: camWith('base «maximum»(14 mm, 1 cm)   travel 120 deg') }),
    },
    { title: 'A function of the language', text: pierFlag({ cam: camWith('base max(14 mm, 1 cm)   travel 120 deg') }) },
  ],
};

const circularLet: FindingPage = {
  code: 'circular-let',
  severity: 'error',
  title: 'A named value that is reckoned from itself',
  means: 'To reckon the value, one would have to know it already. It, and all that uses it, counts as not said.',
  reckoned:
    'Names may be bound in any order; each is reckoned from those in its expression, and none may lead back to itself.',
  source: 'Derived here.',
  worked: '`let a = b + 1 mm` and `let b = a - 1 mm` need each other, and neither says how long anything is.',
  remedy: 'Give one of the names in the circle a value of its own.',
  examples: [
    {
      title: 'Two names that need each other',
      text: pierFlag({
        lets: 'let rim = hub + 8 mm\n  let hub = «rim» - 8 mm',
        cam: camWith('base rim   travel 120 deg'),
      }),
    },
    {
      title: 'One name with a value of its own',
      text: pierFlag({ lets: 'let rim = hub + 8 mm\n  let hub = 6 mm', cam: camWith('base rim   travel 120 deg') }),
    },
  ],
};

const circularLike: FindingPage = {
  code: 'circular-like',
  severity: 'error',
  title: 'Glyph tables that are like each other in a circle',
  means:
    'A table that is `like` another takes over its entries. Here following them comes round again; the tables are read without.',
  reckoned: 'From each table to the one it is like, at most 64 deep.',
  source: 'Derived here.',
  worked: '`glyphs a like b { … }` and `glyphs b like a { … }`: neither has entries to begin with.',
  remedy: 'Take one `like` away.',
  examples: [
    {
      title: 'Two tables like each other',
      text: pierFlag({
        table:
          'glyphs flagged like plain { segments flag   up = flag }\n\nglyphs plain like «flagged» { segments flag   down = blank }',
      }),
    },
    {
      title: 'One table that stands by itself',
      text: pierFlag({
        table: 'glyphs flagged like plain { up = flag }\n\nglyphs plain { segments flag   down = blank }',
      }),
    },
  ],
};

const saidTwice: FindingPage = {
  code: 'said-twice',
  severity: 'error',
  title: 'The same thing said twice',
  means:
    'Of two sayings, one would count without the reader knowing which. The first counts, and the second is marked. So it is with a ' +
    'property in one block, a statement that a mechanism has one of, a name in one list, a mesh of two gears, the shaft that leads.',
  reckoned:
    'A value of a part beside one of `every …` is not the same thing: the narrower counts, and a part may differ from the rest.',
  source: 'Derived here.',
  worked: '`every cam { base 22 mm }` and `cam x { base 20 mm }`: all cams have 22 mm, but x has 20 mm.',
  remedy: 'Take one of the two away.',
  examples: [
    { title: 'A property twice', text: pierFlag({ cam: camWith('base 14 mm   travel 120 deg   «base 15 mm»') }) },
    { title: 'Two counts', text: pierFlag({ more: '«count up down»' }) },
    {
      title: 'A segment listed twice',
      text: pierFlag({ cam: 'cam lifter on axle level 1 drives flag «flag» { base 14 mm   travel 120 deg }' }),
    },
    { title: 'A part that differs from the rest', text: pierFlag({ more: 'every cam { base 15 mm }' }) },
  ],
};

const badValue: FindingPage = {
  code: 'bad-value',
  severity: 'error',
  title: 'A value that nothing can have',
  means:
    'The value is of the right kind but out of the range in which it means anything: a tooth and a half, a negative radius, a share ' +
    'of more than all. It counts as not said.',
  reckoned: 'Each property has its range; the message says it, and a value within it where one is near.',
  source: 'Derived here: ranges in which a part can be made at all, not those in which it is good.',
  worked: '`shown 90` is 9000 %; `shown 90 %` is meant.',
  remedy: 'Give a value within the range.',
  examples: [
    { title: 'A negative radius', text: pierFlag({ cam: camWith('base «-14 mm»   travel 120 deg') }) },
    { title: 'A share without its sign', text: pierFlag({ more: 'limits { shown «90» }' }) },
    { title: 'Teeth in halves', text: pierFlag({ more: 'ratchet click on axle { teeth «1.5» }' }) },
    {
      title: 'A law that there is not',
      text: pierFlag({ cam: camWith('base 14 mm   travel 120 deg   law «polynomial 3-4-6»') }),
    },
    { title: 'Division by nothing', text: pierFlag({ cam: camWith('base 14 mm / «0»   travel 120 deg') }) },
    { title: 'Values within their ranges', text: pierFlag({ more: 'limits { shown 90 % }' }) },
  ],
};

const highFriction: FindingPage = {
  code: 'high-friction',
  severity: 'warning',
  title: 'Friction of more than 1',
  means:
    'The coefficient of friction is the share of the force square to a surface that resists sliding on it. At more than 1 a ' +
    'follower sooner locks in its guide than it slides, and whatever is reckoned says just that.',
  reckoned: 'μ ≤ 1, for each of `friction`, `greased` and `pessimistic`.',
  source:
    'Common practice: 0.1 greased, 0.3 dry, 0.6 at worst. Published for printed plastics: 0.04 to 0.20 (Polymers 15(20):4112, ' +
    '2023), 0.62 to 1.10 dry (Materials Science-Poland 2025, doi 10.2478/msp-2025-0039).',
  worked: 'At μ = 1.4 the friction angle is 54°: a slope of 36° already stands still.',
  remedy: 'Measure it (the slope at which a part begins to slide has tan = μ), or take the usual value.',
  examples: [
    {
      title: 'A decimal point gone astray',
      text: pierFlag({ table: `${flagDesign.table}\n\nmaterial gum { friction «1.4» }` }),
    },
    { title: 'Dry plastic', text: pierFlag({ table: `${flagDesign.table}\n\nmaterial gum { friction 0.3 }` }) },
  ],
};

const newerLanguage: FindingPage = {
  code: 'newer-language',
  severity: 'error',
  title: 'A file written in a newer language',
  means:
    'The file says that it may hold what this Lobewright does not know. All of it that is known is read and checked.',
  reckoned: 'The number after `language` against the newest that this Lobewright knows: 1.',
  source: 'The language reference.',
  worked: '`language 2` needs a Lobewright that knows the second language.',
  remedy: 'Take a newer Lobewright, or say `language 1` where nothing newer is used.',
  examples: [
    { title: 'The second language', text: pierFlag({ head: 'language «2»\n\n' }) },
    { title: 'The first language', text: pierFlag({ head: 'language 1\n\n' }) },
  ],
};

export const valuePages: readonly FindingPage[] = [
  unknownUnit,
  wrongDimension,
  unknownFunction,
  circularLet,
  circularLike,
  saidTwice,
  badValue,
  highFriction,
  newerLanguage,
];
