/** The way of an elastic loop, at home: over which posts and hooks, in which order, how far from one to the next. */
import type { Point } from '../../../language/mechanism.ts';
import { loopOf } from '../../reckon/force/bands.ts';
import { type Anchor, beltAround, type Run } from '../../reckon/force/belt.ts';
import { boxOf } from '../../reckon/shape/convex.ts';
import { closedPath, grown } from '../chart/shapes.ts';
import { liftedBar, liftOf, type View } from '../chart/view.ts';
import { mm, px } from '../chart/words.ts';
import type { Drawing } from '../document/document.ts';

/** One thing that the loop passes. */
export interface RouteStop {
  readonly name: string;
  readonly kind: 'post' | 'hook';
  readonly at: Point;
  /** Radius of a post, mm. */
  readonly radius?: number;
  readonly side: 'outside' | 'inside';
  /** Straight to the next, mm; absent where the loop does not touch it at home. */
  readonly toNext?: number;
}

export interface Route {
  readonly name: string;
  readonly stops: readonly RouteStop[];
  /** All the way round at home, mm. */
  readonly length: number;
  /** Its free length, mm. */
  readonly free?: number;
  /** N, some ± 30 %. */
  readonly tension?: number;
}

interface Path {
  readonly route: Route;
  readonly anchors: readonly Anchor[];
  readonly runs: readonly Run[];
}

function pathsIn(view: View): Path[] {
  const { mechanism: m, figures } = view;
  return m.bands.flatMap((band): Path[] => {
    const loop = loopOf(m, band);
    if (!loop) return [];
    const anchors = loop.at((segment) => {
      const cam = figures.cams.find(({ segments }) => segments.includes(segment));
      return cam ? liftOf(cam, 0) : 0;
    });
    const { length, runs } = beltAround(anchors);
    const tension = loop.tension(length);
    const stops = band.around.map(({ name, inside }, i): RouteStop => {
      const { x, y, radius } = anchors[i];
      const run = runs.find(({ from }) => from === i);
      return {
        name,
        kind: radius === 0 ? 'hook' : 'post',
        at: { x, y },
        ...(radius !== 0 && { radius: Math.abs(radius) }),
        side: inside ? 'inside' : 'outside',
        ...(run && { toNext: run.length }),
      };
    });
    const free = band.loop?.value;
    const route = {
      name: band.name,
      stops,
      length,
      ...(free !== undefined && { free }),
      ...(tension !== undefined && { tension }),
    };
    return [{ route, anchors, runs }];
  });
}

export const routesOf = (view: View): Route[] => pathsIn(view).map(({ route }) => route);

/** The loops over the faint bars of the face, their stops numbered as they are named. */
export function routeDrawings(view: View, width: number): Drawing[] {
  return pathsIn(view).flatMap(({ route, anchors, runs }) => {
    const box = boxOf([
      { x: view.face.left, y: view.face.bottom },
      { x: view.face.right, y: view.face.top },
      ...anchors.flatMap(({ x, y, radius }) => [
        { x: x - Math.abs(radius), y: y - Math.abs(radius) },
        { x: x + Math.abs(radius), y: y + Math.abs(radius) },
      ]),
    ]);
    if (!box) return [];
    const { left, right, bottom, top } = grown(box, 0.06 * Math.max(box.right - box.left, box.top - box.bottom));
    const scale = width / (right - left);
    const height = Math.ceil((top - bottom) * scale);
    const at = ({ x, y }: Point) => ({ x: (x - left) * scale, y: (top - y) * scale });
    const centre = at({ x: (left + right) / 2, y: (bottom + top) / 2 });
    const ends = runs.map((run) => endsOf(run, anchors));
    const drawing: Drawing = {
      title: `Way of the loop ${route.name}, at home`,
      description: routeSentence(route),
      width,
      height,
      body: (
        <g>
          <g transform={`translate(${px(-left * scale)} ${px(top * scale)})`}>
            {view.bars.map((bar) => {
              const cam = view.figures.cams.find(({ segments }) => segments.includes(bar.segment.name));
              const d = closedPath(liftedBar(bar, cam ? liftOf(cam, 0) : 0), scale);
              return <path key={bar.segment.name} class="lw-hidden" d={d} />;
            })}
          </g>
          {anchors.map((anchor, i) => {
            const { x, y } = at(anchor);
            const radius = Math.abs(anchor.radius) * scale;
            const away = Math.hypot(x - centre.x, y - centre.y) || 1;
            const out = radius + 13;
            return (
              <g key={route.stops[i].name}>
                {radius > 0 ? (
                  <circle class="lw-bore" cx={px(x)} cy={px(y)} r={px(Math.max(2, radius))} />
                ) : (
                  <circle class="lw-dot" cx={px(x)} cy={px(y)} r="3" />
                )}
                <text
                  class="lw-small lw-middle lw-halo"
                  x={px(x + ((x - centre.x) / away) * out)}
                  y={px(y + ((y - centre.y) / away) * out + 4)}
                >
                  {`${i + 1} ${route.stops[i].name}`}
                </text>
              </g>
            );
          })}
          <path
            class="lw-cam"
            d={wayPath(
              ends.map(({ from, to }) => ({ from: at(from), to: at(to) })),
              runs,
              anchors,
              scale,
            )}
          />
        </g>
      ),
    };
    return [drawing];
  });
}

/** Where a straight run leaves one circle and meets the other: at the radius square to it, on its right. */
function endsOf({ from, to, dx, dy }: Run, anchors: readonly Anchor[]): { from: Point; to: Point } {
  const touch = ({ x, y, radius }: Anchor): Point => ({ x: x + radius * dy, y: y - radius * dx });
  return { from: touch(anchors[from]), to: touch(anchors[to]) };
}

/** Straight runs joined by arcs round the circles between them; px, y down. */
function wayPath(
  ends: readonly { readonly from: Point; readonly to: Point }[],
  runs: readonly Run[],
  anchors: readonly Anchor[],
  scale: number,
): string {
  const parts = ends.map(({ from, to }, i) => {
    const next = ends[(i + 1) % ends.length].from;
    const radius = anchors[runs[i].to].radius;
    const line = `${i === 0 ? `M${px(from.x)} ${px(from.y)}` : ''}L${px(to.x)} ${px(to.y)}`;
    if (radius === 0) return line;
    const [a, b] = [runs[i], runs[(i + 1) % runs.length]];
    const turned = Math.atan2(a.dx * b.dy - a.dy * b.dx, a.dx * b.dx + a.dy * b.dy);
    const whole = radius > 0 ? (turned + 2 * Math.PI) % (2 * Math.PI) : (2 * Math.PI - turned) % (2 * Math.PI);
    const r = px(Math.abs(radius) * scale);
    return `${line}A${r} ${r} 0 ${whole > Math.PI ? 1 : 0} ${radius > 0 ? 0 : 1} ${px(next.x)} ${px(next.y)}`;
  });
  return `${parts.join('')}Z`;
}

/** "1 a (hook), 48.2 mm to 2 peg (post, passed inside) …; 196 mm all round" */
function routeSentence({ stops, length }: Route): string {
  const said = stops.map(({ name, kind, side, toNext }, i) => {
    const way = toNext === undefined ? ', not touched at home' : `, ${mm(toNext)} to the next`;
    return `${i + 1} ${name} (${kind}${side === 'inside' ? ', passed on its other side' : ''})${way}`;
  });
  return `counter-clockwise: ${said.join('; ')}; ${mm(length)} all round`;
}
