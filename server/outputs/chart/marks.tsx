/** The signs by which findings are drawn: told apart by shape and letter, and only then by colour. */
import type { Finding, Place, Severity } from '../../../language/mechanism.ts';
import { type PlacedMark, type PlacedSign, tagOf } from './placing.ts';
import { px } from './words.ts';

const shapes: Readonly<Record<Severity, string>> = {
  error: 'M-4 -9.5H4L9.5 -4V4L4 9.5H-4L-9.5 4V-4Z',
  warning: 'M0 -12L12.5 9H-12.5Z',
  information: 'M-9 0A9 9 0 1 1 9 0A9 9 0 1 1 -9 0Z',
  hint: 'M-8 -8H8V8H-8Z',
};

/** Octagon E, triangle W, circle I, square H, each with its number beside it. */
export function FindingSign({ severity, tag, x, y }: { severity: Severity; tag: string; x: number; y: number }) {
  return (
    <g transform={`translate(${px(x)} ${px(y)})`}>
      <path class={`lw-mark lw-${severity}`} d={shapes[severity]} />
      <text class="lw-small lw-bold lw-middle" y={severity === 'warning' ? 7 : 4}>
        {tag[0]}
      </text>
      <text class="lw-small lw-bold lw-halo" x="13" y="4">
        {tag.slice(1)}
      </text>
    </g>
  );
}

/** A finding where it stands: its sign, and a line from it down to the floor at each place that it points at. */
export function Mark({
  mark,
  floor,
  onSelect,
}: {
  mark: PlacedMark;
  floor: number;
  onSelect?: (place: Place) => void;
}) {
  const { tag, finding } = mark.mark;
  return (
    <g
      class="lw-finding"
      role="group"
      aria-label={findingSentence(finding, tag)}
      onClick={
        onSelect &&
        ((event: MouseEvent) => {
          event.stopPropagation();
          onSelect(finding.place);
        })
      }
    >
      <title>{findingSentence(finding, tag)}</title>
      {mark.points.map((x) => (
        <path key={x} class={`lw-lead lw-${finding.severity}`} d={`M${px(x)} ${px(mark.y + 10)}V${floor}`} />
      ))}
      <FindingSign severity={finding.severity} tag={tag} x={mark.x} y={mark.y} />
    </g>
  );
}

/** A sign that stands a little off and points at what it tells; px. */
export function LedSign({ sign }: { sign: PlacedSign }) {
  const { from, spots } = sign;
  const [{ found }] = spots;
  return (
    <g>
      <title>{spots.map(({ found: { finding, tag } }) => findingSentence(finding, tag)).join('\n')}</title>
      {spots.map(({ found: { tag, finding }, to }) => (
        <path
          key={tag}
          class={`lw-lead lw-${finding.severity}`}
          d={`M${px(from.x)} ${px(from.y)}L${px(to.x)} ${px(to.y)}`}
        />
      ))}
      <FindingSign severity={found.finding.severity} tag={tagOf(sign)} x={from.x} y={from.y} />
    </g>
  );
}

/** Something drawn, as a path in its own place. */
export interface Drawn {
  readonly d: string;
  readonly transform?: string;
}

/** What two drawn things cover together; `id` is this drawing's own. */
export function Overlap({ id, one, two }: { id: string; one: Drawn; two: Drawn }) {
  return (
    <g>
      <clipPath id={id}>
        <path {...one} />
      </clipPath>
      <g clip-path={`url(#${id})`}>
        <path class="lw-clash" {...two} />
      </g>
    </g>
  );
}

const words: Readonly<Record<Severity, string>> = {
  error: 'Error',
  warning: 'Warning',
  information: 'Information',
  hint: 'Hint',
};

/** "Error E1, unreachable-symbol: …" */
export const findingSentence = (finding: Finding, tag: string): string =>
  `${words[finding.severity]} ${tag}, ${finding.code}: ${finding.message}`;

/** A sign by itself, for lists. */
export function SignIcon({ severity, tag }: { severity: Severity; tag: string }) {
  return (
    <svg class="lw-drawing lw-sign" width="44" height="24" viewBox="-14 -13 44 24" aria-hidden="true">
      <FindingSign severity={severity} tag={tag} x={0} y={0} />
    </svg>
  );
}
