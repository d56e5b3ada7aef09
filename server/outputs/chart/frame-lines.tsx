/** The frame behind what is drawn: the edge of its plates, the heads of its screws, and what it leaves open. */
import type { Point } from '../../../language/mechanism.ts';
import type { Box } from '../../reckon/shape/convex.ts';
import { closedPath } from './shapes.ts';
import type { View } from './view.ts';
import { mm, px } from './words.ts';

/** A box with the frame in it, once that is laid out. */
export function withFrame({ figures: { frame } }: Pick<View, 'figures'>, box: Box): Box {
  if (!frame) return box;
  const { left, right, bottom, top } = frame.outline;
  return {
    left: Math.min(left, box.left),
    right: Math.max(right, box.right),
    bottom: Math.min(bottom, box.bottom),
    top: Math.max(top, box.top),
  };
}

/** Nothing until the frame is laid out. `at` takes a place on the face to the drawing. */
export function FrameLines(props: { view: Pick<View, 'figures'>; at: (point: Point) => Point; scale: number }) {
  const { at, scale } = props;
  const { frame } = props.view.figures;
  if (!frame) return null;
  const { outline, screws, windows, plate } = frame;
  const corner = at({ x: outline.left, y: outline.top });
  return (
    <g class="lw-frame">
      <title>{`frame: plates of ${mm(plate.width)} by ${mm(plate.height)}`}</title>
      <rect
        x={px(corner.x)}
        y={px(corner.y)}
        width={px(plate.width * scale)}
        height={px(plate.height * scale)}
        rx={px(outline.corner * scale)}
      />
      {windows.map((points) => {
        const d = closedPath(points.map(at).map(({ x, y }) => ({ x, y: -y })));
        return <path key={d} d={d} />;
      })}
      {screws.map((screw) => {
        const { x, y } = at(screw);
        return <circle key={`${screw.x} ${screw.y}`} cx={px(x)} cy={px(y)} r={px(outline.seat * scale)} />;
      })}
    </g>
  );
}
