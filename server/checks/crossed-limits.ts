import { isGuess } from '../../language/mechanism.ts';
import { at, type Check, plain } from './check.ts';
import { lampBoard } from './examples.ts';

export const crossedLimits: Check = {
  code: 'crossed-limits',
  severity: 'error',
  title: 'Limits by which a bar is shown and hidden at once',
  means:
    'A bar counts as hidden up to `hidden` of its stroke and as shown from `shown` on. With these limits some heights are both.',
  reckoned: 'hidden < shown, as shares of the stroke.',
  source: 'Derived here.',
  worked: '`shown 40 %   hidden 60 %`: a bar at half its stroke would be both.',
  remedy: 'Let `hidden` be less than `shown`; 10 % and 90 % where none is given.',
  examples: [
    { title: 'The wrong way round', text: lampBoard({ more: 'limits { shown «10 %»   hidden 90 % }' }) },
    { title: 'The usual way', text: lampBoard({ more: 'limits { shown 90 %   hidden 10 % }' }) },
  ],
  find(m) {
    const { shown, hidden } = m.limits;
    if (hidden.value < shown.value || isGuess(m.limits, 'shown', shown) || isGuess(m.limits, 'hidden', hidden))
      return [];
    return [
      {
        message: `a bar would count as hidden up to ${plain(100 * hidden.value)} % of its stroke and as shown from ${plain(
          100 * shown.value,
        )} %; hidden must be the less`,
        place: (shown.by === 'default' ? hidden : shown).place,
        about: ['limits', m.name],
        figures: { shown: shown.value, hidden: hidden.value },
        related: shown.by === 'default' || hidden.by === 'default' ? [] : [at(hidden.place, 'the other limit')],
      },
    ];
  },
};
