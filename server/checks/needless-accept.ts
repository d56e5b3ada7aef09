import type { Acceptance, Mechanism } from '../../language/mechanism.ts';
import { nearest } from '../../language/near.ts';
import type { FindingPage } from '../../language/page.ts';
import { type Found, fix, list, named, partsOf } from './check.ts';
import { lampBoard } from './examples.ts';

/** A page without a search of its own: what is needless shows only when all checks have run. */
export const needlessAccept: FindingPage = {
  code: 'needless-accept',
  severity: 'hint',
  title: 'Something is accepted that nobody finds any more',
  means:
    'The finding that the maker judged is gone, or there is none of that code. Left there, the `accept` would hide a new ' +
    'finding of the same code that nobody has judged.',
  reckoned: 'Every `accept` against the findings of its mechanism.',
  source: 'The design itself.',
  worked: '`accept steep-cam on camB "…"` after camB was given a greater base.',
  remedy: 'Take the `accept` away, or correct its code or its part.',
  examples: [
    { title: 'Nothing to accept', text: lampBoard({ more: '«accept steep-cam on camL "runs well in the sample"»' }) },
    {
      title: 'A finding that stands',
      text: lampBoard({
        camL: 'cam camL on axle level 1 drives left { base 4 mm   travel 40 deg }',
        more: 'accept steep-cam on camL "runs well in the sample"',
      }),
    },
  ],
};

/** Acceptances that accepted nothing, told at their own place; none of what is half-written, which nothing is told of. */
export function needless(m: Mechanism, unused: readonly Acceptance[], codes: readonly string[]): Found[] {
  const clear = unused.filter(({ on }) => !named(partsOf(m), on)?.unclear.length);
  return clear.map(({ code, on, place }) => {
    const near = codes.includes(code) ? [] : nearest(code, codes);
    const where = on === undefined ? '' : ` on ${on}`;
    return {
      message: codes.includes(code)
        ? `${code}${where} is accepted, but it is not found`
        : `no finding is called ${code}${near.length ? `; did you mean ${list(near, 'or')}?` : ''}`,
      place,
      about: [on ?? m.name],
      figures: { accepts: code },
      fixes: [fix(`Take accept ${code} away`, { do: 'remove', place })],
    };
  });
}
