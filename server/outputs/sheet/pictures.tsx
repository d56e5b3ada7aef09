/** The drawings of the sheet: those that the chart has too, at home, and the parts as they lie. */
import { boxOf, edgesOf, mirrored } from '../../reckon/parts/loop.ts';
import type { Loop, PrintedPart, Region } from '../../reckon/parts/part.ts';
import { boxOf as boxAround } from '../../reckon/shape/convex.ts';
import { Face, faceSentence, SmallFace } from '../chart/face.tsx';
import { layerOf, Plan, planOf, planSentence } from '../chart/plan.tsx';
import { isStacked, Section, sectionSentence } from '../chart/section.tsx';
import { grown } from '../chart/shapes.ts';
import { barsAt, symbolAt, type View } from '../chart/view.ts';
import { fitted, listed, mm, px } from '../chart/words.ts';
import { type Drawing, widest } from '../document/document.ts';
import { shownAs } from './told/words.ts';

/** Two drawings stand beside each other in this width, px. */
export const half = (widest - 24) / 2;

export function faceAtHome(view: View, width = half, height = 300): Drawing | undefined {
  if (view.bars.length === 0) return undefined;
  const states = barsAt(view, 0);
  const moment = view.rests > 0 ? `at ${shownAs(symbolAt(view, 0))}` : 'at home';
  return {
    title: 'The face at home',
    description: faceSentence(states),
    width,
    height,
    body: <Face view={view} states={states} moment={moment} width={width} height={height} />,
  };
}

/** The face as far as these bars are in. */
export function faceSoFar(view: View, bars: readonly string[], width = half, height = 300): Drawing | undefined {
  const some = { ...view, bars: view.bars.filter(({ segment }) => bars.includes(segment.name)) };
  const drawing = some.bars.length > 0 ? faceAtHome(some, width, height) : undefined;
  const states = barsAt(view, 0).filter(({ segment }) => bars.includes(segment.name));
  return drawing && { ...drawing, title: 'The bars that are in, at home', description: faceSentence(states) };
}

/** All shafts from the front, at home, with their gears and marks. */
export function planAtHome(view: View, width = half, height = 300): Drawing | undefined {
  const plan = planOf(view);
  return (
    plan && {
      title: 'The shafts at home',
      description: planSentence(view, 0),
      width,
      height,
      body: <Plan view={view} plan={plan} t={0} width={width} height={height} />,
    }
  );
}

/** The same with the cams of one cam's level and what rides on them. */
export function levelAtHome(view: View, cam: string, width = half, height = 300): Drawing | undefined {
  const plan = planOf(view);
  const layer = layerOf(
    view,
    view.rows.find((row) => row.cam.name === cam),
  );
  if (!plan || !layer) return undefined;
  const riders = view.figures.stack.followers.filter(({ level }) => level === layer.level);
  const sliders = view.sliders.filter(
    ({ kind, segment }) => kind !== 'guide' && riders.some((rider) => rider.segment === segment),
  );
  const { left, right, bottom, top } = plan.box;
  const box = boxAround([
    { x: left, y: bottom },
    { x: right, y: top },
    ...sliders.flatMap(({ box }) => [
      { x: box.left, y: box.bottom },
      { x: box.right, y: box.top },
    ]),
  ])!;
  const said = view.rows
    .filter(({ figure }) => figure?.level === layer.level)
    .map(
      ({ cam: { name, shaft }, segments }) =>
        `${name} on ${shaft?.name} under ${listed(segments.map((one) => one.name))}`,
    );
  return {
    title: `Level ${layer.level} at home`,
    caption: `Level ${layer.level} at home: ${said.join('; ')}`,
    description: `${said.join('; ')}; ${planSentence(view, 0, layer)}`,
    width,
    height,
    body: (
      <Plan
        view={view}
        plan={{ ...plan, box: grown(box, 2) }}
        layer={{ ...layer, sliders }}
        t={0}
        width={width}
        height={height}
      />
    ),
  };
}

export function sectionOf(view: View): Drawing | undefined {
  if (!isStacked(view)) return undefined;
  return {
    title: 'The stacks from the side, face on the left',
    description: sectionSentence(view),
    width: widest,
    height: 210,
    body: <Section view={view} width={widest} height={210} />,
  };
}

/** The face at every rest of one count, small. */
export function facesOf(view: View): Drawing | undefined {
  if (view.rests === 0) return undefined;
  const [wide, tall] = [68, 104];
  const columns = Math.min(view.rests, Math.floor(widest / wide));
  const rests = Array.from({ length: view.rests }, (_, across) => across);
  const said = rests.map((across) => `${shownAs(symbolAt(view, across))}: ${faceSentence(barsAt(view, across))}`);
  return {
    title: 'What is to be seen at every rest, in the order of the steps',
    description: said.join('; '),
    width: columns * wide,
    height: Math.ceil(view.rests / columns) * tall,
    body: (
      <g>
        {rests.map((across) => (
          <g key={across} transform={`translate(${(across % columns) * wide} ${Math.floor(across / columns) * tall})`}>
            <text class="lw-symbol" x={wide / 2} y="16">
              {fitted(shownAs(symbolAt(view, across)), wide - 4, 15, true)}
            </text>
            <SmallFace view={view} states={barsAt(view, across)} x={wide / 2} y={24} height={70} widest={wide - 14} />
          </g>
        ))}
      </g>
    ),
  };
}

// ---- parts ---------------------------------------------------------------------------------

/** A loop as a path with its arcs, y turned down. */
function loopPath(loop: Loop, scale: number): string {
  const at = ({ x, y }: { readonly x: number; readonly y: number }) => `${px(x * scale)} ${px(-y * scale)}`;
  const edges = edgesOf(loop).map(({ to, arc }) => {
    if (!arc) return `L${at(to)}`;
    const r = px(arc.radius * scale);
    return `A${r} ${r} 0 ${Math.abs(arc.sweep) > Math.PI ? 1 : 0} ${arc.sweep > 0 ? 0 : 1} ${at(to)}`;
  });
  return `M${at(loop[0])}${edges.join('')}Z`;
}

/**
 * A part as it lies in the design at home, its slabs from back to front: from its front, or from behind where it has what
 * is engraved on it there alone.
 */
export function partPicture(part: PrintedPart, width: number, height: number): Drawing {
  const { name, kind, prisms, seats } = part;
  const front = Math.max(...prisms.map(({ to }) => to));
  const onFront = part.engraved.filter(({ to }) => to > front - 1e-6);
  const behind = part.engraved.length > 0 && onFront.length === 0;
  const seen = (loop: Loop): Loop => (behind ? mirrored(loop) : loop);
  const outlines = prisms.flatMap(({ regions }) => regions.map(({ outer }) => seen(outer)));
  const { left, right, bottom, top } = boxOf(outlines);
  const turn = (behind ? -1 : 1) * (seats[0]?.turn ?? 0) * (180 / Math.PI);
  const slabs = behind ? [...prisms].reverse() : prisms;
  const pathOf = (regions: readonly Region[]) =>
    regions
      .flatMap(({ outer, holes }) => [outer, ...holes])
      .map((loop) => loopPath(seen(loop), scale))
      .join('');
  const reach = Math.hypot(Math.max(right, -left), Math.max(top, -bottom));
  const upright = Math.abs(turn % 90) < 1e-6;
  const quarter = upright && Math.abs(Math.round(turn / 90)) % 2 === 1;
  const [wide, tall] = upright
    ? quarter
      ? [top - bottom, right - left]
      : [right - left, top - bottom]
    : [2 * reach, 2 * reach];
  const scale = Math.min((width - 8) / wide, (height - 8) / tall);
  const centre = upright ? { x: (left + right) / 2, y: (bottom + top) / 2 } : { x: 0, y: 0 };
  return {
    title: `${kind} ${name}`,
    description: `${mm(right - left)} by ${mm(top - bottom)}, ${mm(front)} high, seen from ${behind ? 'behind' : 'the front'}`,
    caption: name,
    width,
    height,
    body: (
      <g
        transform={`translate(${px(width / 2)} ${px(height / 2)}) rotate(${px(-turn)}) translate(${px(-centre.x * scale)} ${px(centre.y * scale)})`}
      >
        {slabs.map(({ from, regions }, i) => (
          <path key={from} class={i === slabs.length - 1 ? 'lw-part lw-part-front' : 'lw-part'} d={pathOf(regions)} />
        ))}
        {(behind ? part.engraved : onFront).map(({ from, regions }) => (
          <path key={`engraved ${from}`} class="lw-dot" d={pathOf(regions)} />
        ))}
      </g>
    ),
  };
}
