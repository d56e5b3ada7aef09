/**
 * The mechanism drawn in space: paper-like, by outlines in ink on evenly lit faces, without perspective, on the plain
 * ground of the page. Nothing is drawn while nothing changes.
 */
import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  DirectionalLight,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  OrthographicCamera,
  Raycaster,
  Scene,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';
import type { PartKind } from '../../reckon/parts/part.ts';
import type { Surface } from './extrusion.ts';
import { type Packed, unpacked } from './packing.ts';
import type { Pose } from './poses.ts';
import type { PreviewPart, PreviewShape } from './scene.ts';
import { axesOf, type Box, type Frame, frameOf, type Viewpoint } from './viewpoint.ts';

/** Colours as #rrggbb. */
export interface Painted {
  readonly face: string;
  /** Of what is engraved on it. */
  readonly engraved: string;
}

export interface Palette {
  readonly ground: string;
  readonly ink: string;
  /** Of the edges of what is lit. */
  readonly accent: string;
  readonly parts: Readonly<Record<PartKind, { readonly plain: Painted; readonly lit: Painted }>>;
}

export interface Picture {
  /** Knows these shapes from now on, and forgets those that are not among `kept`. */
  shapes(more: readonly PreviewShape[], kept: ReadonlySet<string>): void;
  /** Draws these parts; those whose shape is not known yet appear when it is. */
  parts(parts: readonly PreviewPart[]): void;
  /** Where the parts stand; the picture takes in what they fill as they stand in `framed`, so that it keeps still meanwhile. */
  pose(poses: readonly Pose[], framed: readonly Pose[]): void;
  look(view: Viewpoint): void;
  paint(palette: Palette): void;
  /** The part that is under the pointer or has the focus, and those that the text's cursor means. */
  light(pointed: number | undefined, meant: ReadonlySet<number>): void;
  /** px. */
  size(width: number, height: number): void;
  /** The foremost part at a place of the canvas, px. */
  partAt(x: number, y: number): number | undefined;
  /** Where the middle of a part is on the canvas, px; undefined while it is not drawn. */
  middleOf(part: number): { readonly x: number; readonly y: number } | undefined;
  /** Called after every time it was drawn. */
  drawn: () => void;
  dispose(): void;
}

interface Shape {
  readonly body: BufferGeometry;
  readonly lines: BufferGeometry;
  readonly engraved: BufferGeometry;
  /** Across the axis of its frame, mm. */
  readonly reach: number;
}

interface Drawn {
  readonly group: Group;
  readonly body: Mesh;
  readonly lines: LineSegments;
  readonly inlay: Mesh;
  readonly shape: Shape;
  readonly part: PreviewPart;
}

interface Paint {
  readonly face: MeshLambertMaterial;
  readonly engraved: MeshBasicMaterial;
  readonly ink: LineBasicMaterial;
}

const grey: Painted = { face: '#808080', engraved: '#000000' };

/** Farther from the eye than it is, or nearer, by a little. */
const offset = (factor: number, units: number) => ({
  polygonOffset: true,
  polygonOffsetFactor: factor,
  polygonOffsetUnits: units,
});

const dispose = ({ face, engraved, ink }: Paint): void => {
  for (const material of [face, engraved, ink]) material.dispose();
};

/** A picture on a canvas, or why there can be none. */
export function pictureOn(canvas: HTMLCanvasElement): Picture | { readonly because: string } {
  try {
    return new Drawing(canvas, new WebGLRenderer({ canvas, antialias: true }));
  } catch (failure) {
    const reason = failure instanceof Error ? failure.message : String(failure);
    return { because: `nothing can be drawn in three dimensions here (${reason})` };
  }
}

class Drawing implements Picture {
  drawn = () => {};
  private readonly canvas: HTMLCanvasElement;
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera();
  private readonly sun = new DirectionalLight(0xffffff, 1.7);
  private readonly even = new AmbientLight(0xffffff, 1.75);
  private readonly known = new Map<string, Shape>();
  private readonly paints = new Map<string, Paint>();
  private palette: Palette | undefined;
  private wanted: readonly PreviewPart[] = [];
  private shown: (Drawn | undefined)[] = [];
  private poses: readonly Pose[] = [];
  private framed: readonly Pose[] = [];
  private filled: readonly Box[] | undefined;
  private view: Viewpoint | undefined;
  private pointed: number | undefined;
  private meant: ReadonlySet<number> = new Set();
  private width = 1;
  private height = 1;
  private frame = 0;

  constructor(canvas: HTMLCanvasElement, renderer: WebGLRenderer) {
    this.canvas = canvas;
    this.renderer = renderer;
    this.camera.add(this.sun);
    this.scene.add(this.camera, this.even);
    canvas.addEventListener('webglcontextrestored', this.again);
  }

  shapes(more: readonly PreviewShape[], kept: ReadonlySet<string>): void {
    for (const one of more) {
      if (this.known.has(one.shape)) continue;
      this.known.set(one.shape, shapeOf(one));
    }
    for (const [name, shape] of this.known) {
      if (kept.has(name)) continue;
      for (const geometry of [shape.body, shape.lines, shape.engraved]) geometry.dispose();
      this.known.delete(name);
    }
    this.build();
  }

  parts(parts: readonly PreviewPart[]): void {
    this.wanted = parts;
    this.build();
  }

  private build(): void {
    for (const one of this.shown) if (one) this.scene.remove(one.group);
    this.shown = this.wanted.map((part): Drawn | undefined => {
      const shape = this.known.get(part.shape);
      if (!shape) return undefined;
      const { face, engraved, ink } = this.paintOf(part.kind, false);
      const group = new Group();
      const body = new Mesh(shape.body, face);
      const lines = new LineSegments(shape.lines, ink);
      const inlay = new Mesh(shape.engraved, engraved);
      group.add(body, lines, inlay);
      this.scene.add(group);
      return { group, body, lines, inlay, shape, part };
    });
    this.filled = undefined;
    this.place();
    this.lightUp();
  }

  pose(poses: readonly Pose[], framed: readonly Pose[]): void {
    if (this.framed !== framed) this.filled = undefined;
    [this.poses, this.framed] = [poses, framed];
    this.place();
  }

  private place(): void {
    for (const [i, one] of this.shown.entries()) {
      const pose = this.poses[i];
      if (!one || !pose) continue;
      one.group.position.set(pose.x, pose.y, pose.z);
      one.group.rotation.z = pose.turned;
    }
    this.again();
  }

  look(view: Viewpoint): void {
    this.view = view;
    this.again();
  }

  paint(palette: Palette): void {
    this.palette = palette;
    this.renderer.setClearColor(palette.ground);
    for (const paint of this.paints.values()) dispose(paint);
    this.paints.clear();
    this.lightUp();
  }

  private paintOf(kind: PartKind, lit: boolean): Paint {
    const name = `${kind} ${lit}`;
    let paint = this.paints.get(name);
    if (!paint) {
      const { plain, lit: lighted } = this.palette?.parts[kind] ?? { plain: grey, lit: grey };
      const { face, engraved } = lit ? lighted : plain;
      paint = {
        // Edges that lie on faces are seen, and before them what is engraved.
        face: new MeshLambertMaterial({ color: face, ...offset(1, 1) }),
        engraved: new MeshBasicMaterial({ color: engraved, ...offset(-1, -4) }),
        ink: new LineBasicMaterial({ color: (lit ? this.palette?.accent : this.palette?.ink) ?? '#000000' }),
      };
      this.paints.set(name, paint);
    }
    return paint;
  }

  light(pointed: number | undefined, meant: ReadonlySet<number>): void {
    this.pointed = pointed;
    this.meant = meant;
    this.lightUp();
  }

  private lightUp(): void {
    for (const [i, one] of this.shown.entries()) {
      if (!one) continue;
      const { face, engraved, ink } = this.paintOf(one.part.kind, i === this.pointed || this.meant.has(i));
      one.body.material = face;
      one.inlay.material = engraved;
      one.lines.material = ink;
    }
    this.again();
  }

  size(width: number, height: number): void {
    if (width < 1 || height < 1) return;
    [this.width, this.height] = [width, height];
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(width, height, false);
    this.again();
  }

  partAt(x: number, y: number): number | undefined {
    this.aim();
    this.scene.updateMatrixWorld();
    const ray = new Raycaster();
    ray.setFromCamera(new Vector2((2 * x) / this.width - 1, 1 - (2 * y) / this.height), this.camera);
    let [best, far] = [undefined as number | undefined, Number.POSITIVE_INFINITY];
    for (const [i, one] of this.shown.entries()) {
      const hit = one && ray.intersectObject(one.body)[0];
      if (hit && hit.distance < far) [best, far] = [i, hit.distance];
    }
    return best;
  }

  middleOf(part: number): { readonly x: number; readonly y: number } | undefined {
    const one = this.shown[part];
    if (!one) return undefined;
    this.aim();
    const middle = new Vector3();
    one.shape.body.boundingBox!.getCenter(middle);
    one.group.updateMatrixWorld();
    middle.applyMatrix4(one.group.matrixWorld).project(this.camera);
    return { x: ((middle.x + 1) / 2) * this.width, y: ((1 - middle.y) / 2) * this.height };
  }

  /** What holds everything that is drawn, however far shafts have turned it. */
  private boxes(): Box[] {
    return this.shown.flatMap((one, i): Box[] => {
      const pose = this.framed[i];
      if (!one || !pose) return [];
      const { part, shape } = one;
      const z = [pose.z + part.from, pose.z + part.to] as const;
      if (part.way.by === 'shaft') {
        const { reach } = shape;
        return [{ least: [pose.x - reach, pose.y - reach, z[0]], most: [pose.x + reach, pose.y + reach, z[1]] }];
      }
      const { min, max } = shape.body.boundingBox!;
      const [c, s] = [Math.cos(pose.turned), Math.sin(pose.turned)];
      const corners = [min.x, max.x].flatMap((x) => [min.y, max.y].map((y) => [c * x - s * y, s * x + c * y] as const));
      const [xs, ys] = [corners.map(([x]) => pose.x + x), corners.map(([, y]) => pose.y + y)];
      return [{ least: [Math.min(...xs), Math.min(...ys), z[0]], most: [Math.max(...xs), Math.max(...ys), z[1]] }];
    });
  }

  private aim(): Frame | undefined {
    if (!this.view) return undefined;
    const aspect = this.width / this.height;
    this.filled ??= this.boxes();
    const frame = frameOf(this.filled, this.view, aspect);
    const { up, eye } = axesOf(this.view);
    const { camera } = this;
    const far = 1.5 * frame.reach + 100;
    Object.assign(camera, {
      left: -frame.half * aspect,
      right: frame.half * aspect,
      top: frame.half,
      bottom: -frame.half,
      near: 0,
      far: 2 * far,
    });
    const [x, y, z] = frame.middle;
    camera.up.set(...up);
    camera.position.set(x + far * eye[0], y + far * eye[1], z + far * eye[2]);
    camera.lookAt(x, y, z);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    // Over the reader's left shoulder.
    this.sun.position.set(-0.5, 0.75, 1);
    this.sun.target.position.set(0, 0, 0);
    if (this.sun.target.parent !== camera) camera.add(this.sun.target);
    return frame;
  }

  /** Draws once, however much changes before. */
  private readonly again = (): void => {
    this.frame ||= requestAnimationFrame(() => {
      this.frame = 0;
      if (!this.aim()) return;
      this.renderer.render(this.scene, this.camera);
      this.drawn();
    });
  };

  dispose(): void {
    cancelAnimationFrame(this.frame);
    this.canvas.removeEventListener('webglcontextrestored', this.again);
    this.wanted = [];
    this.shapes([], new Set());
    for (const paint of this.paints.values()) dispose(paint);
    cancelAnimationFrame(this.frame);
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }
}

function shapeOf({ body, lines, engraved }: PreviewShape): Shape {
  const surface = surfaceOf(body);
  surface.computeBoundingBox();
  surface.computeBoundingSphere();
  const at = surface.getAttribute('position');
  let square = 0;
  for (let i = 0; i < at.count; i++) square = Math.max(square, at.getX(i) ** 2 + at.getY(i) ** 2);
  const drawn = new BufferGeometry();
  drawn.setAttribute('position', new BufferAttribute(new Float32Array(unpacked(lines)), 3));
  return { body: surface, lines: drawn, engraved: surfaceOf(engraved), reach: Math.sqrt(square) };
}

function surfaceOf({ corners, normals, triangles }: Packed<Surface>): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array(unpacked(corners)), 3));
  geometry.setAttribute('normal', new BufferAttribute(new Int8Array(unpacked(normals)), 3, true));
  geometry.setIndex(new BufferAttribute(new Uint32Array(unpacked(triangles)), 1));
  return geometry;
}
