/** SVG paths as PDF paths: lines as they are, arcs as Bézier curves. */
import { number } from './canvas.ts';

const point = (x: number, y: number): string => `${number(x)} ${number(y)}`;

/** The path operators of `d`; commands M L H V A Z and their small forms. */
export function pathOps(d: string): string {
  const out: string[] = [];
  let [x, y, startX, startY] = [0, 0, 0, 0];
  const lineTo = (toX: number, toY: number) => {
    [x, y] = [toX, toY];
    out.push(`${point(x, y)} l`);
  };
  for (const [, command, given] of d.matchAll(/([MLHVAZ])([^MLHVAZ]*)/gi)) {
    const values = (given.match(/-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?/gi) ?? []).map(Number);
    const [fromX, fromY] = command === command.toLowerCase() ? [1, 1] : [0, 0];
    switch (command.toUpperCase()) {
      case 'M':
        for (let i = 0; i + 1 < values.length; i += 2) {
          const [toX, toY] = [values[i] + fromX * x, values[i + 1] + fromY * y];
          if (i > 0) lineTo(toX, toY);
          else {
            [x, y, startX, startY] = [toX, toY, toX, toY];
            out.push(`${point(x, y)} m`);
          }
        }
        break;
      case 'L':
        for (let i = 0; i + 1 < values.length; i += 2) lineTo(values[i] + fromX * x, values[i + 1] + fromY * y);
        break;
      case 'H':
        for (const value of values) lineTo(value + fromX * x, y);
        break;
      case 'V':
        for (const value of values) lineTo(x, value + fromY * y);
        break;
      case 'A':
        for (let i = 0; i + 6 < values.length; i += 7) {
          const [toX, toY] = [values[i + 5] + fromX * x, values[i + 6] + fromY * y];
          out.push(...arcOps(x, y, values[i], values[i + 3] === 1, values[i + 4] === 1, toX, toY));
          [x, y] = [toX, toY];
        }
        break;
      case 'Z':
        out.push('h');
        [x, y] = [startX, startY];
        break;
    }
  }
  return out.join(' ');
}

/** A circular arc (SVG 1.1, F.6.5), in pieces of at most a quarter turn. */
function arcOps(
  x: number,
  y: number,
  given: number,
  large: boolean,
  sweep: boolean,
  toX: number,
  toY: number,
): string[] {
  const [halfX, halfY] = [(x - toX) / 2, (y - toY) / 2];
  const half = Math.hypot(halfX, halfY);
  if (half === 0 || given === 0) return [`${point(toX, toY)} l`];
  const radius = Math.max(given, half);
  const away = Math.sqrt(Math.max(0, (radius * radius) / (half * half) - 1)) * (large === sweep ? -1 : 1);
  const [centreX, centreY] = [(x + toX) / 2 + away * halfY, (y + toY) / 2 - away * halfX];
  const start = Math.atan2(y - centreY, x - centreX);
  let turn = Math.atan2(toY - centreY, toX - centreX) - start;
  if (sweep && turn < 0) turn += 2 * Math.PI;
  if (!sweep && turn > 0) turn -= 2 * Math.PI;
  const pieces = Math.max(1, Math.ceil(Math.abs(turn) / (Math.PI / 2) - 1e-9));
  const step = turn / pieces;
  const reach = (4 / 3) * Math.tan(step / 4) * radius;
  return Array.from({ length: pieces }, (_, i) => {
    const [from, to] = [start + i * step, start + (i + 1) * step];
    const at = (angle: number, along: number) =>
      point(
        centreX + radius * Math.cos(angle) - along * Math.sin(angle),
        centreY + radius * Math.sin(angle) + along * Math.cos(angle),
      );
    return `${at(from, reach)} ${at(to, -reach)} ${at(to, 0)} c`;
  });
}

/** A circle about a point. */
export const circlePath = (x: number, y: number, r: number): string =>
  `M${x + r} ${y}A${r} ${r} 0 1 0 ${x - r} ${y}A${r} ${r} 0 1 0 ${x + r} ${y}Z`;

export const rectanglePath = (x: number, y: number, width: number, height: number): string =>
  `M${x} ${y}H${x + width}V${y + height}H${x}Z`;
