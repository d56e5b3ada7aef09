/** The preview: the parts in space, turned and played, and their list. Everything it shows comes from its props. */
import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { caution } from '../caution.ts';
import { Transport, useTurning } from '../chart/transport.tsx';
import { momentOf, stepsAt } from '../chart/view.ts';
import { roleColours } from '../parts/roles.ts';
import { onRepaint, paletteFrom } from './palette.ts';
import { type Picture, pictureOn } from './picture.ts';
import { posesAt } from './poses.ts';
import type { PreviewPart, PreviewScene, PreviewShape } from './scene.ts';
import { closer, keyedView, shiftedBy, slanted, straight, turnedBy, type Viewpoint } from './viewpoint.ts';

export interface PreviewProps {
  /** Of the file, in its order. */
  readonly mechanisms: readonly { readonly name: string; readonly title: string }[];
  /** The one that is shown. */
  readonly scene?: PreviewScene;
  /** As many of its shapes as are known yet. */
  readonly shapes: readonly PreviewShape[];
  /** The part whose statement holds the text's cursor. */
  readonly lit?: string;
  /** A click on a part. */
  readonly onSelect: (part: PreviewPart) => void;
  readonly onChoose: (mechanism: string) => void;
  /** Why the picture is not that of the text as it stands. */
  readonly stale?: string;
}

export function Preview({ mechanisms, scene, stale, onChoose, ...more }: PreviewProps) {
  return (
    <div class="lw-chart lw-preview">
      {stale !== undefined && (
        <p class="lw-stale" role="status">
          <strong>Last good picture.</strong> The text as it stands cannot be read: {stale}
        </p>
      )}
      {mechanisms.length > 1 && (
        <label class="lw-chooser">
          Mechanism{' '}
          <select aria-label="Mechanism" value={scene?.name} onChange={(event) => onChoose(event.currentTarget.value)}>
            {mechanisms.map(({ name, title }) => (
              <option key={name} value={name}>
                {title === name ? name : `${title} (${name})`}
              </option>
            ))}
          </select>
        </label>
      )}
      {scene ? (
        <Built key={scene.name} scene={scene} {...more} />
      ) : (
        <p class="lw-empty">
          No mechanism here yet. One begins with a line such as: mechanism Sign {'{ count 0 1 2 3 }'}
        </p>
      )}
    </div>
  );
}

interface BuiltProps extends Pick<PreviewProps, 'shapes' | 'lit' | 'onSelect'> {
  readonly scene: PreviewScene;
}

function Built({ scene: whole, shapes, lit, onSelect }: BuiltProps) {
  const [framed, setFramed] = useState(true);
  const scene = useMemo(() => (framed ? whole : { ...whole, parts: whole.parts.filter(isInside) }), [whole, framed]);
  const turning = useTurning(scene);
  const [apart, setApart] = useState(0);
  const [view, setView] = useState<Viewpoint>(slanted);
  const [pointed, point] = useState<number>();
  const meant = useMemo(() => meantBy(scene.parts, lit), [scene, lit]);
  const { across, lap } = turning.moment;
  const moment = momentOf(scene, across);
  const named = pointed ?? [...meant][0];
  const open = new Set(scene.parts.map(({ shape }) => shape));
  for (const { shape } of shapes) open.delete(shape);
  const latest = useRef(onSelect);
  latest.current = onSelect;
  const choose = useCallback((part: PreviewPart) => latest.current(part), []);
  const list = useMemo(
    () => <List parts={scene.parts} meant={meant} pointed={pointed} onPoint={point} onChoose={choose} />,
    [scene, meant, pointed],
  );
  return (
    <>
      <header class="lw-bar">
        <h1>{scene.title}</h1>
        {scene.rests > 0 && <Transport view={scene} turning={turning} moment={moment} />}
        <label class="lw-apart">
          Apart{' '}
          <input
            type="range"
            min="0"
            max="100"
            value={100 * apart}
            aria-valuetext={apart === 0 ? 'as built' : `${Math.round(100 * apart)} percent`}
            onInput={(event) => setApart(Number(event.currentTarget.value) / 100)}
          />
        </label>
        {!whole.parts.every(isInside) && (
          <label>
            <input type="checkbox" checked={framed} onChange={(event) => setFramed(event.currentTarget.checked)} />{' '}
            Frame
          </label>
        )}
        <span class="lw-views" role="group" aria-label="Look at it">
          <button type="button" onClick={() => setView(slanted)}>
            Slanted
          </button>
          <button type="button" onClick={() => setView(straight)}>
            From the front
          </button>
          <button type="button" aria-label="Closer" onClick={() => setView((from) => closer(from, 1.25))}>
            +
          </button>
          <button type="button" aria-label="Farther" onClick={() => setView((from) => closer(from, 0.8))}>
            −
          </button>
        </span>
      </header>
      <div class="lw-main">
        <Space
          scene={scene}
          shapes={shapes}
          steps={stepsAt(scene, across, lap)}
          apart={apart}
          view={view}
          pointed={pointed}
          meant={meant}
          named={named}
          waiting={scene.parts.length > 0 && open.size > 0}
          label={`${scene.title}, ${moment}${shownSentence(scene, across)}`}
          onPoint={point}
          onChoose={choose}
          onView={setView}
          onStep={turning.step}
        />
        <div class="lw-side">
          {list}
          <Missing scene={scene} />
          {scene.stored && <p class="lw-caution">{caution}</p>}
        </div>
      </div>
    </>
  );
}

/** What the frame holds, and hides. */
const isInside = ({ kind }: PreviewPart): boolean => kind !== 'plate' && kind !== 'pillar';

/** The parts that a name in the text means. */
const meantBy = (parts: readonly PreviewPart[], name: string | undefined): ReadonlySet<number> =>
  new Set(parts.flatMap(({ means }, i) => (name !== undefined && means.includes(name) ? [i] : [])));

/** What the reader sees at a rest, in words. */
function shownSentence({ figures, rests, direction }: PreviewScene, across: number): string {
  if (!Number.isInteger(across) || rests === 0) return '';
  const shown = figures.positions[(((direction * across) % rests) + rests) % rests]?.shown ?? [];
  return shown.length > 0 ? `: shown ${shown.join(', ')}` : ': nothing shown';
}

/** What is not in the picture, and why. */
export function Missing({ scene: { missing, bought, parts } }: { readonly scene: PreviewScene }) {
  if (missing.length === 0 && bought.length === 0 && parts.length > 0) return null;
  return (
    <section class="lw-absent" aria-label="Not shown">
      <h2>Not shown</h2>
      <ul>
        {parts.length === 0 && missing.length === 0 && <li>There is no part yet whose shape the text says.</li>}
        {[...new Set(missing.map(({ because }) => because))].map((because) => (
          <li key={because}>{because}</li>
        ))}
        {bought.length > 0 && <li>Bought, so not drawn: {[...new Set(bought)].join('; ')}</li>}
      </ul>
    </section>
  );
}

interface ListProps {
  readonly parts: readonly PreviewPart[];
  readonly meant: ReadonlySet<number>;
  readonly pointed?: number;
  readonly onPoint: (part: number | undefined) => void;
  readonly onChoose: (part: PreviewPart) => void;
}

function List({ parts, meant, pointed, onPoint, onChoose }: ListProps) {
  return (
    <ul class="lw-parts" aria-label="Parts">
      {parts.map((part, i) => (
        <li key={`${part.name} ${i}`}>
          <button
            type="button"
            class={i === pointed ? 'lw-pointed' : undefined}
            aria-current={meant.has(i) ? 'true' : undefined}
            onFocus={() => onPoint(i)}
            onBlur={() => onPoint(undefined)}
            onPointerEnter={() => onPoint(i)}
            onPointerLeave={() => onPoint(undefined)}
            onClick={() => onChoose(part)}
          >
            <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
              <rect x="1" y="1" width="10" height="10" fill={roleColours[part.kind]} />
            </svg>
            <span>
              {part.name} <span class="lw-kind">{kindBeside(part)}</span>
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}

/** Its kind, unless the name says it. */
const kindBeside = ({ name, kind }: PreviewPart): string =>
  name.split(' ').includes(kind.split(' ').at(-1)!) ? '' : kind;

interface SpaceProps extends Omit<ListProps, 'parts'> {
  readonly scene: PreviewScene;
  readonly shapes: readonly PreviewShape[];
  readonly steps: number;
  readonly apart: number;
  readonly view: Viewpoint;
  readonly named?: number;
  /** For shapes. */
  readonly waiting: boolean;
  readonly label: string;
  readonly onView: (change: (from: Viewpoint) => Viewpoint) => void;
  readonly onStep: (way: 1 | -1) => void;
}

/** A press that moves less than this is a click, px. */
const still = 4;

function Space(props: SpaceProps) {
  const { scene, shapes, steps, apart, view, pointed, meant, named, onPoint, onView } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const tag = useRef<HTMLSpanElement>(null);
  const picture = useRef<Picture>();
  const [because, setBecause] = useState<string>();
  const drag = useRef<{ x: number; y: number; far: number }>();
  const latest = useRef(props);
  latest.current = props;

  useLayoutEffect(() => {
    const node = canvas.current!;
    const made = pictureOn(node);
    if ('because' in made) {
      setBecause(made.because);
      return;
    }
    picture.current = made;
    const repaint = () => made.paint(paletteFrom(node.parentElement!));
    repaint();
    const ended = onRepaint(repaint);
    const measure = () => made.size(node.parentElement!.clientWidth, node.parentElement!.clientHeight);
    measure();
    const sized = new ResizeObserver(measure);
    sized.observe(node.parentElement!);
    made.drawn = () => {
      const at = latest.current.named === undefined ? undefined : made.middleOf(latest.current.named);
      if (!tag.current) return;
      tag.current.style.display = at ? '' : 'none';
      if (at) tag.current.style.transform = `translate(${Math.round(at.x)}px, ${Math.round(at.y)}px)`;
    };
    return () => {
      ended();
      sized.disconnect();
      picture.current = undefined;
      made.dispose();
    };
  }, []);

  useLayoutEffect(() => picture.current?.parts(scene.parts), [scene]);
  useLayoutEffect(
    () => picture.current?.shapes(shapes, new Set(scene.parts.map(({ shape }) => shape))),
    [shapes, scene],
  );
  const framed = useMemo(() => posesAt(scene, 0, apart), [scene, apart]);
  useLayoutEffect(() => picture.current?.pose(posesAt(scene, steps, apart), framed), [scene, steps, apart, framed]);
  useLayoutEffect(() => picture.current?.look(view), [view]);
  useLayoutEffect(() => picture.current?.light(pointed, meant), [pointed, meant]);

  useEffect(() => {
    const node = canvas.current!;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      latest.current.onView((from) => closer(from, Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015))));
    };
    // Not passive: the page must not scroll meanwhile.
    node.addEventListener('wheel', wheel, { passive: false });
    return () => node.removeEventListener('wheel', wheel);
  }, []);

  const placeIn = (event: PointerEvent) => {
    const box = canvas.current!.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top, height: box.height };
  };
  const down = (event: PointerEvent) => {
    if (event.button > 2) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    drag.current = { x: event.clientX, y: event.clientY, far: 0 };
  };
  const move = (event: PointerEvent) => {
    const at = placeIn(event);
    const from = drag.current;
    if (!from) return onPoint(picture.current?.partAt(at.x, at.y));
    const [dx, dy] = [event.clientX - from.x, event.clientY - from.y];
    drag.current = { x: event.clientX, y: event.clientY, far: from.far + Math.hypot(dx, dy) };
    if (drag.current.far < still) return;
    const shifting = event.shiftKey || event.buttons > 1;
    onView((view) =>
      shifting ? shiftedBy(view, dx / at.height, -dy / at.height) : turnedBy(view, -0.008 * dx, 0.008 * dy),
    );
  };
  const up = (event: PointerEvent) => {
    const from = drag.current;
    drag.current = undefined;
    if (!from || from.far >= still || event.button !== 0) return;
    const at = placeIn(event);
    const part = picture.current?.partAt(at.x, at.y);
    if (part !== undefined) props.onChoose(scene.parts[part]);
  };
  const key = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === ' ') {
      event.preventDefault();
      return props.onStep(event.shiftKey ? -1 : 1);
    }
    const next = keyedView(view, event.key, event.shiftKey);
    if (!next) return;
    event.preventDefault();
    onView(() => next);
  };

  return (
    <div class="lw-space">
      <canvas
        ref={canvas}
        tabindex={0}
        role="application"
        aria-label={props.label}
        aria-describedby="lw-space-keys"
        onPointerDown={down}
        onPointerMove={move}
        onPointerUp={up}
        onPointerCancel={() => {
          drag.current = undefined;
        }}
        onPointerLeave={() => drag.current || onPoint(undefined)}
        onContextMenu={(event) => event.preventDefault()}
        onKeyDown={key}
      />
      <span class="lw-tag" ref={tag} aria-hidden="true" style={{ display: 'none' }}>
        {named !== undefined && scene.parts[named]?.name}
      </span>
      {props.waiting && because === undefined && (
        <p class="lw-quiet lw-waiting" role="status">
          Working out the shapes …
        </p>
      )}
      {because !== undefined && (
        <p class="lw-empty" role="status">
          {because}
        </p>
      )}
      <p class="lw-quiet lw-keys" id="lw-space-keys">
        Drag or arrow keys turn it, with Shift they move it; wheel, + and − bring it closer; 0 sets it back; Space
        steps.
      </p>
    </div>
  );
}
