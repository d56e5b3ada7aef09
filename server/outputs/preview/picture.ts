/**
 * The mechanism drawn in space: paper-like, by outlines in ink on evenly lit faces, without perspective, on the plain
 * ground of the page. Nothing is drawn while nothing changes.
 */
import {
  AmbientLight,
  BufferAttribute,
  BufferGeometry,
  Color,
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
export interface Palette {
  readonly ground: string;
  readonly ink: string;
  /** Of what is lit, under the pointer or under the text's cursor. */
  readonly accent: string;
  readonly roles: Readonly<Record<PartKind, string>>;
  /** Of what is engraved on them. */
  readonly engraved: Readonly<Record<PartKind, string>>;
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
  readonly body: Mesh<BufferGeometry, MeshLambertMaterial>;
  readonly shape: Shape;
  readonly part: PreviewPart;
}

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
  private readonly faces = new Map<string, MeshLambertMaterial>();
  private readonly ink = new LineBasicMaterial();
  private readonly litInk = new LineBasicMaterial();
  private readonly inlays = new Map<PartKind, MeshBasicMaterial>();
  private palette: Palette | undefined;
  private wanted: readonly PreviewPart[] = [];
  private shown: (Drawn | undefined)[] = [];
  private poses: readonly Pose[] = [];
  private framed: readonly Pose[] = [];
  private filled: Box | undefined;
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
      const body = new Mesh(shape.body, this.faceOf(part.kind, false));
      const group = new Group();
      group.add(body, new LineSegments(shape.lines, this.ink), new Mesh(shape.engraved, this.inlayOf(part.kind)));
      this.scene.add(group);
      return { group, body, shape, part };
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
    this.ink.color.set(palette.ink);
    for (const [kind, inlay] of this.inlays) inlay.color.set(palette.engraved[kind]);
    this.litInk.color.set(palette.accent);
    for (const material of this.faces.values()) material.dispose();
    this.faces.clear();
    for (const one of this.shown) if (one) one.body.material = this.faceOf(one.part.kind, false);
    this.lightUp();
  }

  /** Of a kind of part; what is lit is tinted, as well as outlined. */
  private faceOf(kind: PartKind, lit: boolean): MeshLambertMaterial {
    const name = `${kind} ${lit}`;
    let material = this.faces.get(name);
    if (!material) {
      const colour = new Color(this.palette?.roles[kind] ?? '#808080');
      if (lit) colour.lerp(new Color(this.palette?.accent ?? '#808080'), 0.45);
      // Lines that lie on faces are seen.
      material = new MeshLambertMaterial({
        color: colour,
        polygonOffset: true,
        polygonOffsetFactor: 1,
        polygonOffsetUnits: 1,
      });
      this.faces.set(name, material);
    }
    return material;
  }

  private inlayOf(kind: PartKind): MeshBasicMaterial {
    const inlay =
      this.inlays.get(kind) ??
      // It lies on the face, before it in the picture.
      new MeshBasicMaterial({ polygonOffset: true, polygonOffsetFactor: -1, polygonOffsetUnits: -4 });
    if (this.palette) inlay.color.set(this.palette.engraved[kind]);
    this.inlays.set(kind, inlay);
    return inlay;
  }

  light(pointed: number | undefined, meant: ReadonlySet<number>): void {
    this.pointed = pointed;
    this.meant = meant;
    this.lightUp();
  }

  private lightUp(): void {
    for (const [i, one] of this.shown.entries()) {
      if (!one) continue;
      const lit = i === this.pointed || this.meant.has(i);
      one.body.material = this.faceOf(one.part.kind, lit);
      (one.group.children[1] as LineSegments).material = lit ? this.litInk : this.ink;
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

  /** Everything that is drawn, however it is turned. */
  private box(): Box {
    const least = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
    const most = least.map((value) => -value);
    for (const [i, one] of this.shown.entries()) {
      const pose = this.framed[i];
      if (!one || !pose) continue;
      const { min, max } = one.shape.body.boundingBox!;
      const { reach } = one.shape;
      const turns = one.part.way.by === 'shaft';
      const corners = turns ? [-reach, reach] : [min.x, max.x];
      const across = turns ? [-reach, reach] : [min.y, max.y];
      const [c, s] = turns ? [1, 0] : [Math.cos(pose.turned), Math.sin(pose.turned)];
      for (const x of corners)
        for (const y of across)
          for (const z of [one.part.from, one.part.to])
            for (const [axis, at] of [pose.x + c * x - s * y, pose.y + s * x + c * y, pose.z + z].entries()) {
              least[axis] = Math.min(least[axis], at);
              most[axis] = Math.max(most[axis], at);
            }
    }
    if (!(least[0] <= most[0])) return { least: [-20, -30, -20], most: [20, 30, 0] };
    return { least: [least[0], least[1], least[2]], most: [most[0], most[1], most[2]] };
  }

  private aim(): Frame | undefined {
    if (!this.view) return undefined;
    const aspect = this.width / this.height;
    this.filled ??= this.box();
    const frame = frameOf(this.filled, this.view, aspect);
    const { up, eye } = axesOf(this.view);
    const { camera } = this;
    const far = 4 * frame.reach + 200;
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
    for (const material of [...this.faces.values(), ...this.inlays.values(), this.ink, this.litInk]) material.dispose();
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
