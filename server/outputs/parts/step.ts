/**
 * A part as a STEP file (ISO 10303-21, the protocol of ISO 10303-214): one product, millimetres, planes and cylinders
 * with true arcs, normally one solid. The same part gives the same bytes: the time in the header is fixed.
 */
import type { Mechanism, Point } from '../../../language/mechanism.ts';
import { edgeBetween } from '../../reckon/parts/loop.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { grain } from './arrangement.ts';
import { walked } from './faces.ts';
import { roleColours } from './roles.ts';
import { partSurface, type ShellEdge, type ShellFace, type Side, type Solid, type Surface } from './shells.ts';

/** The part in its own frame. Throws an Error where loops of its regions cross themselves, so that they enclose nothing sure. */
export function stepOf(part: PrintedPart, about: Mechanism['about'] = {}): string {
  const surface = partSurface(part);
  const { add, lines } = entities();
  const named = text(part.name);
  const context = contextOf(add);
  const solids = surface.solids.map((solid) => solidEntity(solid, surface, named, add));
  const placed = add(`AXIS2_PLACEMENT_3D('',${add("CARTESIAN_POINT('',(0.,0.,0.))")},$,$)`);
  const shape = add(`ADVANCED_BREP_SHAPE_REPRESENTATION(${named},(${[placed, ...solids].join()}),${context})`);
  productOf(part, about, shape, add);
  coloured(solids, roleColours[part.kind], context, add);

  const descriptions = [part.name, about.licence].filter((line) => line !== undefined);
  return [
    'ISO-10303-21;',
    'HEADER;',
    `FILE_DESCRIPTION((${descriptions.map(text).join()}),'2;1');`,
    `FILE_NAME(${named},'1980-01-01T00:00:00',(${text(about.author ?? '')}),(''),'Lobewright','Lobewright','');`,
    "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));",
    'ENDSEC;',
    'DATA;',
    ...lines,
    'ENDSEC;',
    'END-ISO-10303-21;',
    '',
  ].join('\n');
}

// ---- how the file is written ---------------------------------------------------------------------------

/** Writes an entity and gives its name. */
type Add = (entity: string) => string;

function entities(): { readonly add: Add; readonly lines: readonly string[] } {
  const lines: string[] = [];
  const add = (entity: string) => {
    const name = `#${lines.length + 1}`;
    lines.push(`${name}=${entity};`);
    return name;
  };
  return { add, lines };
}

/** A string: apostrophes and backslashes doubled, what is not printable ASCII by its code. */
export function text(said: string): string {
  const written = Array.from(said, (character) => {
    const code = character.codePointAt(0)!;
    if (character === "'" || character === '\\') return character + character;
    if (code >= 0x20 && code < 0x7f) return character;
    const hex = code.toString(16).toUpperCase();
    return code > 0xffff ? `\\X4\\${hex.padStart(8, '0')}\\X0\\` : `\\X2\\${hex.padStart(4, '0')}\\X0\\`;
  });
  return `'${written.join('')}'`;
}

/** A real number, which always has its point; to a millionth of a micrometre, or so many parts of one. */
function real(value: number, parts = 1e9): string {
  const rounded = Math.round(value * parts) / parts + 0;
  if (Number.isInteger(rounded)) return `${rounded}.`;
  const written = String(rounded);
  return Math.abs(rounded) < 1e-6 ? written.replace('e', '.E').replace(/(\..*)\.E/, '$1E') : written;
}

// ---- what a file holds beside its solids -----------------------------------------------------------------

function contextOf(add: Add): string {
  const millimetre = add('(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))');
  const radian = add('(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))');
  const steradian = add('(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())');
  const accuracy = add(
    `UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(${real(grain)}),${millimetre},'distance_accuracy_value','')`,
  );
  return add(
    `(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((${accuracy}))` +
      `GLOBAL_UNIT_ASSIGNED_CONTEXT((${millimetre},${radian},${steradian}))REPRESENTATION_CONTEXT('',''))`,
  );
}

function productOf({ name, kind, material }: PrintedPart, about: Mechanism['about'], shape: string, add: Add): void {
  const application = add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
  add(`APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,${application})`);
  const context = add(`PRODUCT_CONTEXT('',${application},'mechanical')`);
  const words = [about.title, kind, material].filter((word) => word !== undefined).join(', ');
  const product = add(`PRODUCT(${text(name)},${text(name)},${text(words)},(${context}))`);
  add(`PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(${product}))`);
  const version = add(`PRODUCT_DEFINITION_FORMATION(${text(about.revision ?? '')},'',${product})`);
  const designed = add(`PRODUCT_DEFINITION_CONTEXT('part definition',${application},'design')`);
  const definition = add(`PRODUCT_DEFINITION('design','',${version},${designed})`);
  const defined = add(`PRODUCT_DEFINITION_SHAPE('','',${definition})`);
  add(`SHAPE_DEFINITION_REPRESENTATION(${defined},${shape})`);
}

function coloured(solids: readonly string[], colour: string, context: string, add: Add): void {
  const [red, green, blue] = [1, 3, 5].map((at) => real(Number.parseInt(colour.slice(at, at + 2), 16) / 255, 1e6));
  const fill = add(`FILL_AREA_STYLE_COLOUR('',${add(`COLOUR_RGB('',${red},${green},${blue})`)})`);
  const area = add(`SURFACE_STYLE_FILL_AREA(${add(`FILL_AREA_STYLE('',(${fill}))`)})`);
  const usage = add(`SURFACE_STYLE_USAGE(.BOTH.,${add(`SURFACE_SIDE_STYLE('',(${area}))`)})`);
  const style = add(`PRESENTATION_STYLE_ASSIGNMENT((${usage}))`);
  const styled = solids.map((solid) => add(`STYLED_ITEM('colour',(${style}),${solid})`));
  add(`MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(${styled.join()}),${context})`);
}

// ---- solids ------------------------------------------------------------------------------------------------

function solidEntity({ outer, voids }: Solid, surface: Surface, named: string, add: Add): string {
  const shell = (faces: readonly ShellFace[]) => shellEntity(faces, surface, add);
  if (voids.length === 0) return add(`MANIFOLD_SOLID_BREP(${named},${shell(outer)})`);
  const hollow = voids.map((one) => add(`ORIENTED_CLOSED_SHELL('',*,${shell(one)},.T.)`));
  return add(`BREP_WITH_VOIDS(${named},${shell(outer)},(${hollow.join()}))`);
}

function shellEntity(faces: readonly ShellFace[], { arrangement }: Surface, add: Add): string {
  const { points, heights } = arrangement;
  /** What belongs to a point or an edge at a level is written once. */
  const perLevel = (write: (index: number, level: number) => string) => {
    const written = new Map<number, string>();
    return (index: number, level: number): string => {
      const key = index * heights.length + level;
      let name = written.get(key);
      if (name === undefined) {
        name = write(index, level);
        written.set(key, name);
      }
      return name;
    };
  };
  const direction = (x: number, y: number, z: number): string =>
    add(`DIRECTION('',(${real(x, 1e15)},${real(y, 1e15)},${real(z)}))`);
  const z = heights.map((height) => real(height));
  const [up, down, right] = [direction(0, 0, 1), direction(0, 0, -1), direction(1, 0, 0)];
  const upward = add(`VECTOR('',${up},1.)`);
  const flat: (string | undefined)[] = new Array(points.length).fill(undefined);
  const point = perLevel((index, level) => {
    flat[index] ??= `${real(points[index].x)},${real(points[index].y)}`;
    return add(`CARTESIAN_POINT('',(${flat[index]},${z[level]}))`);
  });
  const vertex = perLevel((index, level) => add(`VERTEX_POINT('',${point(index, level)})`));

  /** An edge of the arrangement as it is written: arcs counter-clockwise. */
  const drawn = arrangement.edges.map((edge, index) => {
    const along = edge.bulge >= 0;
    const { from, to, bulge } = walked(arrangement, { edge: index, along });
    const [a, b] = [points[from], points[to]];
    return { from, to, along, a, b, arc: edgeBetween({ ...a, bulge }, { ...b, bulge: 0 }).arc };
  });
  /** Along a straight edge; of an arc, from its centre to its start, whence angles about it count. */
  const heading = perLevel((index) => {
    const { a, b, arc } = drawn[index];
    return arc ? direction(...unit(arc.centre, a), 0) : direction(...unit(a, b), 0);
  });
  /** About the centre of an arc. */
  const axis = perLevel((index, level) => {
    const { x, y } = drawn[index].arc!.centre;
    const centre = add(`CARTESIAN_POINT('',(${real(x)},${real(y)},${z[level]}))`);
    return add(`AXIS2_PLACEMENT_3D('',${centre},${up},${heading(index, 0)})`);
  });
  const curve = perLevel((index, level) => {
    const { from, arc } = drawn[index];
    return arc
      ? add(`CIRCLE('',${axis(index, level)},${real(arc.radius)})`)
      : add(`LINE('',${point(from, level)},${add(`VECTOR('',${heading(index, 0)},1.)`)})`);
  });

  const edges = new Map<ShellEdge, string>();
  const edgeEntity = (edge: ShellEdge): string => {
    let name = edges.get(edge);
    if (name === undefined) {
      name = add(edgeCurve(edge));
      edges.set(edge, name);
    }
    return name;
  };
  const edgeCurve = (edge: ShellEdge): string => {
    if (edge.kind === 'upright') {
      const line = add(`LINE('',${point(edge.point, edge.from)},${upward})`);
      return `EDGE_CURVE('',${vertex(edge.point, edge.from)},${vertex(edge.point, edge.to)},${line},.T.)`;
    }
    const { from, to } = drawn[edge.edge];
    return `EDGE_CURVE('',${vertex(from, edge.level)},${vertex(to, edge.level)},${curve(edge.edge, edge.level)},.T.)`;
  };
  const bound = (sides: readonly Side[], outer: boolean): string => {
    const oriented = sides.map(({ edge, along }) => {
      const asWritten = edge.kind === 'upright' || drawn[edge.edge].along;
      return add(`ORIENTED_EDGE('',*,*,${edgeEntity(edge)},${flag(along === asWritten)})`);
    });
    return add(`${outer ? 'FACE_OUTER_BOUND' : 'FACE_BOUND'}('',${add(`EDGE_LOOP('',(${oriented.join()}))`)},.T.)`);
  };

  /** The surface under a face, and whether its own normal points outside. */
  const surfaceUnder = (face: ShellFace): { readonly surface: string; readonly outside: boolean } => {
    if (face.kind === 'level') {
      const at = point(walked(arrangement, face.face.outer[0]).from, face.level);
      const place = add(`AXIS2_PLACEMENT_3D('',${at},${face.up ? up : down},${right})`);
      return { surface: add(`PLANE('',${place})`), outside: true };
    }
    const { edge, along } = face.walk;
    const { from, along: asWritten, a, b, arc } = drawn[edge];
    if (arc) {
      const surface = add(`CYLINDRICAL_SURFACE('',${axis(edge, face.from)},${real(arc.radius)})`);
      return { surface, outside: along === asWritten };
    }
    // Right of the walk, which has the material on its left.
    const [x, y] = along === asWritten ? unit(a, b) : unit(b, a);
    const place = add(`AXIS2_PLACEMENT_3D('',${point(from, face.from)},${direction(y, -x, 0)},${heading(edge, 0)})`);
    return { surface: add(`PLANE('',${place})`), outside: true };
  };

  const written = faces.map((face) => {
    const bounds = face.bounds.map((sides, i) => bound(sides, i === 0));
    const { surface, outside } = surfaceUnder(face);
    return add(`ADVANCED_FACE('',(${bounds.join()}),${surface},${flag(outside)})`);
  });
  return add(`CLOSED_SHELL('',(${written.join()}))`);
}

const flag = (yes: boolean): string => (yes ? '.T.' : '.F.');

/** The direction from one point to another. */
function unit(from: Point, to: Point): [number, number] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  return [(to.x - from.x) / length, (to.y - from.y) / length];
}
