/** What triangles enclose, and whether they do: reckoned here from nothing but their corners. */

export interface CheckedSurface {
  /** Edges that have not exactly one neighbour, running the other way. */
  readonly openEdges: number;
  /** mm³; negative where the triangles are seen clockwise from outside. */
  readonly volume: number;
  /** x, y, z from and to. */
  readonly box: readonly number[];
}

/** Of triangles by their corners' places; corners at the same place are one. */
export function checked(triangles: readonly (readonly (readonly number[])[])[]): CheckedSurface {
  const edges = new Map<string, number>();
  let volume = 0;
  const box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
  for (const corners of triangles) {
    const names = corners.map((corner) => corner.join());
    for (const [i, name] of names.entries()) {
      const edge = `${name} ${names[(i + 1) % 3]}`;
      edges.set(edge, (edges.get(edge) ?? 0) + 1);
      for (const [k, at] of corners[i].entries()) {
        box[k] = Math.min(box[k], at);
        box[k + 3] = Math.max(box[k + 3], at);
      }
    }
    const [[ax, ay, az], [bx, by, bz], [cx, cy, cz]] = corners;
    volume += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
  }
  const openEdges = [...edges].filter(([edge, count]) => {
    const [from, to] = edge.split(' ');
    return count !== 1 || edges.get(`${to} ${from}`) !== 1;
  }).length;
  return { openEdges, volume, box };
}
