/** The bar at which a maker tries another number than the text's. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Mechanism } from '../../../language/mechanism.ts';
import { type Choice, choicesOf, numberIn, setText, statedText, type Trial } from './what-if.ts';
import { plain } from './words.ts';

interface TryingProps {
  readonly mechanism: Mechanism;
  /** Which digits the trial makes bind or hang. */
  readonly sentence?: string;
  /** A trial to reckon; none where the text's own value stands, or what was typed cannot be meant. */
  readonly onTry: (trial: Trial | undefined) => void;
}

/** ms without a key before a number is reckoned with. */
const patience = 250;

const startText = (choice: Choice): string =>
  choice.of === 'mechanism' ? choice.stated : choice.stated.length > 1 ? '' : plain(choice.stated[0]!, 3);

/** What was entered as a trial, as a word on what is wrong with it, or neither where it is the text's own value. */
function trialOf(choice: Choice, entered: string | undefined): Trial | string | undefined {
  if (entered === undefined) return undefined;
  if (choice.of === 'mechanism') {
    const value = entered === 'dry' ? 'dry' : 'greased';
    return value === choice.stated ? undefined : { choice, value };
  }
  const value = numberIn(entered, choice);
  if (typeof value === 'string') return value;
  return choice.stated.every((stated) => stated === value) ? undefined : { choice, value };
}

export function Trying({ mechanism, sentence, onTry }: TryingProps) {
  const choices = choicesOf(mechanism);
  const [key, setKey] = useState(choices[0]!.key);
  const [entered, enter] = useState<string>();
  const [wrong, setWrong] = useState<string>();
  const field = useRef<HTMLInputElement & HTMLSelectElement>(null);
  const choice = choices.find((each) => each.key === key)!;
  useEffect(() => {
    const tried = trialOf(choice, entered);
    const settle = () => {
      setWrong(typeof tried === 'string' ? tried : undefined);
      onTry(typeof tried === 'string' ? undefined : tried);
    };
    const timer = setTimeout(settle, entered === undefined ? 0 : patience);
    return () => clearTimeout(timer);
  }, [key, entered]);
  const reset = () => {
    enter(undefined);
    field.current?.focus();
  };
  const value = entered ?? startText(choice);
  const common = {
    ref: field,
    value,
    title: setText(choice, mechanism),
    'aria-describedby': 'lw-tried',
    onKeyDown: (event: KeyboardEvent) => event.key === 'Escape' && reset(),
  };
  return (
    <div class="lw-trying" role="group" aria-label="What if a number were another one?">
      <span>
        <b>What if</b>{' '}
        <select
          aria-label="Number to try"
          value={key}
          onChange={(event) => {
            enter(undefined);
            setKey(event.currentTarget.value);
          }}
        >
          {choices.map((each) => (
            <option key={each.key} value={each.key}>
              {each.of === 'segments' ? 'drag of every segment' : each.key}
            </option>
          ))}
        </select>
      </span>
      <span>
        is{' '}
        {choice.of === 'mechanism' ? (
          <select {...common} aria-label={choice.key} onChange={(event) => enter(event.currentTarget.value)}>
            <option value="greased">greased</option>
            <option value="dry">dry</option>
          </select>
        ) : (
          <>
            <input
              {...common}
              type="text"
              inputmode="decimal"
              size={6}
              autocomplete="off"
              aria-label={`${choice.key} in ${choice.unit}`}
              aria-invalid={wrong !== undefined}
              onInput={(event) => enter(event.currentTarget.value)}
            />{' '}
            {choice.unit}
          </>
        )}
      </span>
      <span class="lw-quiet">text: {statedText(choice)}</span>
      <button type="button" disabled={entered === undefined} title="Back to the text (Escape)" onClick={reset}>
        Reset
      </button>
      <span id="lw-tried" class={wrong ? 'lw-wrong' : undefined} role="status">
        {wrong ?? sentence ?? ''}
      </span>
    </div>
  );
}
