/** The page on which one clicks the bars that one sees, and the faults that it can be narrow down. In files and the editor. */
import { useMemo, useRef, useState } from 'preact/hooks';
import type { SymptomTable } from '../../search/symptoms.ts';
import { caution } from '../caution.ts';
import { SmallFace } from '../chart/face.tsx';
import type { BarStanding } from '../chart/view.ts';
import { ClickedFace } from './clicked-face.tsx';
import { causesOf, type Diagnosis, diagnosed, verdict } from './diagnosis.ts';
import {
  clicked,
  faceTold,
  type Looks,
  nothingTold,
  observationsOf,
  standingOf,
  type Told,
  told,
  toldOf,
} from './looks.ts';
import type { SymptomPage } from './page-data.ts';
import { Lines, WholeTable } from './whole-table.tsx';
import { assumed, faceInWords, labelOf, spelled, spoiltInWords } from './words.ts';

export interface SymptomsProps {
  readonly pages: readonly SymptomPage[];
  /** What was told before, by mechanism; and who keeps it. */
  readonly kept?: Readonly<Record<string, unknown>>;
  readonly onTell?: (mechanism: string, told: Told) => void;
  /** Why the page is not that of the text as it stands. */
  readonly stale?: string;
}

export function Symptoms({ pages, kept, onTell, stale }: SymptomsProps) {
  const [picked, pick] = useState<string>();
  // What was told of one mechanism is there again when one comes back to it.
  const said = useRef<Record<string, unknown>>({ ...kept });
  const tell = (mechanism: string, now: Told) => {
    said.current[mechanism] = now;
    onTell?.(mechanism, now);
  };
  const shown = pages.find(({ table }) => table.name === picked) ?? pages[0];
  return (
    <div class="lw-chart lw-symptoms">
      {stale !== undefined && (
        <p class="lw-stale" role="status">
          <strong>Of the last good text.</strong> The text as it stands cannot be read: {stale}
        </p>
      )}
      {pages.length > 1 && (
        <label class="lw-chooser">
          Mechanism{' '}
          <select value={shown?.table.name} onChange={(event) => pick(event.currentTarget.value)}>
            {pages.map(({ table }) => (
              <option key={table.name} value={table.name}>
                {table.title === table.name ? table.name : `${table.title} (${table.name})`}
              </option>
            ))}
          </select>
        </label>
      )}
      {shown === undefined ? (
        <p>No mechanism here yet.</p>
      ) : 'because' in shown.table ? (
        <p>{shown.table.because}.</p>
      ) : (
        <Telling
          key={shown.table.name}
          page={shown}
          table={shown.table}
          kept={said.current[shown.table.name]}
          onTell={tell}
        />
      )}
    </div>
  );
}

function Telling(props: {
  page: SymptomPage;
  table: SymptomTable;
  kept?: unknown;
  onTell: (mechanism: string, told: Told) => void;
}) {
  const { page, table, kept, onTell } = props;
  const [before, setTold] = useState<Told>(() => toldOf(table, kept));
  // The text may have changed since: what cannot be told of it any more is dropped.
  const { looks, homeKnown } = useMemo(() => toldOf(table, before), [table, before]);
  const [position, setPosition] = useState(0);
  const here = Math.min(position, table.symbols.length - 1);
  const heading = useRef<HTMLHeadingElement>(null);
  const tell = (now: Told) => {
    setTold(now);
    onTell(table.name, now);
  };
  const look = (now: Looks) => tell({ looks: now, homeKnown });
  const goTo = (to: number) => {
    setPosition(to);
    heading.current?.focus();
  };
  const diagnosis = useMemo(
    () =>
      diagnosed(
        table,
        observationsOf(looks, (at) => labelOf(table, at)),
        homeKnown,
      ),
    [table, looks, homeKnown],
  );
  return (
    <>
      <header>
        <h1>What was put together wrongly?</h1>
        <p class="lw-quiet">{table.title}</p>
        <p>{assumed(table)}</p>
      </header>
      <div class="lw-telling">
        <section aria-label="What you see">
          <Positions page={page} table={table} looks={looks} here={here} next={diagnosis.next?.position} onGo={goTo} />
          <h2 ref={heading} tabIndex={-1}>
            At {labelOf(table, here)}: click what you see
          </h2>
          <LookHere page={page} table={table} looks={looks} position={here} onLook={look} onGo={goTo} />
          <p>
            <label>
              <input
                type="checkbox"
                checked={!homeKnown}
                onChange={(event) => tell({ looks, homeKnown: !event.currentTarget.checked })}
              />{' '}
              I do not know where home is: I only count on
            </label>
          </p>
          <p>
            <button
              type="button"
              disabled={Object.keys(looks).length === 0}
              onClick={() => tell({ ...nothingTold, homeKnown })}
            >
              Start again
            </button>
          </p>
        </section>
        <Verdict diagnosis={diagnosis} onGo={goTo} />
      </div>
      <details class="lw-figures">
        <summary>The whole table</summary>
        <WholeTable table={table} />
      </details>
      {table.stored && <p class="lw-caution">{caution}</p>}
    </>
  );
}

/** The bars of a face as they stand, as the small faces draw them. */
function standings(page: SymptomPage, table: SymptomTable, face: string): BarStanding[] {
  return page.bars.map(({ segment, shownAt, hiddenAt }) => {
    const letter = face[table.segments.indexOf(segment.name)];
    const seen = letter === '1' ? 'shown' : letter === '-' ? 'between' : 'hidden';
    const lift = seen === 'shown' ? shownAt : seen === 'hidden' ? hiddenAt : (shownAt + hiddenAt) / 2;
    return { segment, lift, seen, wrong: false };
  });
}

/** Of more positions than these no small faces are drawn. */
const mostFaces = 120;

const marks = { right: '✓', wrong: '✗' } as const;

function Positions(props: {
  page: SymptomPage;
  table: SymptomTable;
  looks: Looks;
  here: number;
  next?: number;
  onGo: (position: number) => void;
}) {
  const { page, table, looks, here, next, onGo } = props;
  return (
    <ol class="lw-positions" aria-label="Rest positions, from home">
      {table.symbols.map((symbol, position) => {
        const standing = standingOf(table, looks, position);
        const said = standing === undefined ? 'not looked at' : `looked at: ${standing}`;
        return (
          <li key={labelOf(table, position)}>
            <button
              type="button"
              aria-current={position === here ? 'step' : undefined}
              aria-label={`${labelOf(table, position)}, ${said}${position === next ? ', look here next' : ''}`}
              class={`lw-position${standing ? ` lw-told-${standing}` : ''}${position === next ? ' lw-next' : ''}`}
              onClick={() => onGo(position)}
            >
              <b>{spelled(symbol)}</b>
              {page.bars.length > 0 && table.symbols.length <= mostFaces && (
                <svg class="lw-drawing" width="34" height="44" aria-hidden="true">
                  <SmallFace
                    view={page}
                    states={standings(page, table, faceTold(table, looks, position))}
                    x={17}
                    y={1}
                    height={42}
                    widest={32}
                  />
                </svg>
              )}
              <span aria-hidden="true">{standing ? marks[standing] : position === next ? 'next' : ' '}</span>
            </button>
          </li>
        );
      })}
    </ol>
  );
}

function LookHere(props: {
  page: SymptomPage;
  table: SymptomTable;
  looks: Looks;
  position: number;
  onLook: (looks: Looks) => void;
  onGo: (position: number) => void;
}) {
  const { page, table, looks, position, onLook, onGo } = props;
  const look = looks[position];
  const face = faceTold(table, looks, position);
  const count = table.symbols.length;
  const say = (now: 'right' | 'wrong') => onLook(told(looks, position, look === now ? undefined : now));
  return (
    <div class="lw-look">
      <figure>
        <figcaption>
          What you see <span>{look === 'wrong' ? 'wrong, not told how' : faceInWords(table, face)}</span>
        </figcaption>
        <ClickedFace
          page={page}
          table={table}
          face={face}
          sure={look !== undefined && look !== 'wrong'}
          onClick={(bar) => onLook(clicked(table, looks, position, bar))}
        />
      </figure>
      <div class="lw-beside">
        <figure>
          <figcaption>
            What should be <span>{faceInWords(table, table.right[position])}</span>
          </figcaption>
          {page.bars.length > 0 && (
            <svg class="lw-drawing" width="90" height="120" aria-hidden="true">
              <SmallFace
                view={page}
                states={standings(page, table, table.right[position])}
                x={45}
                y={2}
                height={116}
                widest={86}
              />
            </svg>
          )}
        </figure>
        <div class="lw-say" role="group" aria-label={`What you see at ${labelOf(table, position)}`}>
          <button
            type="button"
            aria-pressed={standingOf(table, looks, position) === 'right'}
            onClick={() => say('right')}
          >
            ✓ It is as it should be
          </button>
          <button type="button" aria-pressed={look === 'wrong'} onClick={() => say('wrong')}>
            ✗ It is wrong, I cannot say how
          </button>
          <button type="button" disabled={look === undefined} onClick={() => onLook(told(looks, position, undefined))}>
            Not looked at
          </button>
          <span class="lw-steps">
            <button type="button" onClick={() => onGo((position + count - 1) % count)}>
              ← Back
            </button>
            <button type="button" onClick={() => onGo((position + 1) % count)}>
              Step on →
            </button>
          </span>
        </div>
      </div>
      <p class="lw-quiet">
        A click on a bar turns it the other way, another shows it half-way, a third as it should be. With the keyboard:
        Tab to a bar, then Space.
      </p>
    </div>
  );
}

/** Looks beyond these are only counted. */
const mostListed = 12;

function Verdict({ diagnosis, onGo }: { diagnosis: Diagnosis; onGo: (position: number) => void }) {
  const { table, seen, leading, next } = diagnosis;
  const nothing = seen.length === 0;
  return (
    <section class="lw-verdict" aria-label="What it may be">
      <h2>What it may be</h2>
      <p role="status">{nothing ? `Nothing is told yet: ${leading.length} looks are possible.` : verdict(diagnosis)}</p>
      {next && (
        <p>
          <button type="button" class="lw-go" onClick={() => onGo(next.position)}>
            Look {nothing ? 'first' : 'next'} at {labelOf(table, next.position)}
          </button>{' '}
          <span class="lw-quiet">it tells the most apart</span>
        </p>
      )}
      {!nothing && (
        <ol class="lw-causes">
          {leading.slice(0, mostListed).map((candidate) => {
            const [chief, ...others] = causesOf(table, candidate);
            const misfits = seen.flatMap(({ said }, i) => (candidate.fits.includes(i) ? [] : [said]));
            const shows = spoiltInWords(table, table.groups[candidate.groups[0]]);
            return (
              <li key={candidate.groups[0]}>
                <b>{chief}</b>
                {candidate.groups.includes(0) && others.length > 0 ? (
                  <details>
                    <summary>{`of which no face tells: ${others.length}`}</summary>
                    <Lines lines={others} />
                  </details>
                ) : (
                  others.map((cause) => (
                    <div key={cause}>
                      <i>or</i> {cause}
                    </div>
                  ))
                )}
                {misfits.length > 0 && <div class="lw-wrong">does not fit at {misfits.join(', ')}</div>}
                {shows.length > 0 && (
                  <details>
                    <summary>{`wrong at ${shows.length} of ${table.symbols.length}`}</summary>
                    {shows.join(', ')}
                  </details>
                )}
              </li>
            );
          })}
        </ol>
      )}
      {!nothing && leading.length > mostListed && <p class="lw-quiet">{`and ${leading.length - mostListed} more`}</p>}
    </section>
  );
}
