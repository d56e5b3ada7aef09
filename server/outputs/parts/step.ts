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
import { type ShellEdge, type ShellFace, type Side, type Solid, type Surface, surfaceOf } from './shells.ts';

/** The part in its own frame. Throws an Error where loops of its regions cross themselves, so that they enclose nothing sure. */
export function stepOf(part: PrintedPart, about: Mechanism['about'] = {}): string {
  const surface = surfaceOf(part.prisms, part.engraved);
  const { add, once, lines } = entities();
  const named = text(part.name);
  const context = contextOf(add);
  const solids = surface.solids.map((solid) => solidEntity(solid, surface, named, add, once));
  const placed = once(`AXIS2_PLACEMENT_3D('',${xyz(0, 0, 0, once)},$,$)`);
  const shape = add(`ADVANCED_BREP_SHAPE_REPRESENTATION(${named},(${[placed, ...solids].join()}),${context})`);
  productOf(part, about, shape, add);
  coloured(solids, roleColours[part.kind], context, add, once);

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

type Add = (entity: string) => string;

interface Entities {
  /** Writes an entity and gives its name. */
  readonly add: Add;
  /** The same, but what was written before is not written again: for geometry, never for topology. */
  readonly once: Add;
  readonly lines: readonly string[];
}

function entities(): Entities {
  const lines: string[] = [];
  const known = new Map<string, string>();
  const add = (entity: string) => {
    const name = `#${lines.length + 1}`;
    lines.push(`${name}=${entity};`);
    return name;
  };
  const once = (entity: string) => {
    const name = known.get(entity) ?? add(entity);
    known.set(entity, name);
    return name;
  };
  return { add, once, lines };
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
  const written = String(Math.round(value * parts) / parts + 0);
  return /[.e]/.test(written) ? written.replace('e', '.E').replace(/(\..*)\.E/, '$1E') : `${written}.`;
}

const xyz = (x: number, y: number, z: number, once: Add): string =>
  once(`CARTESIAN_POINT('',(${real(x)},${real(y)},${real(z)}))`);

const direction = (x: number, y: number, z: number, once: Add): string =>
  once(`DIRECTION('',(${[x, y, z].map((one) => real(one, 1e15)).join()}))`);

/** A place with its axis, and the direction from which angles about it count. */
const placement = (at: string, axis: string, from: string, once: Add): string =>
  once(`AXIS2_PLACEMENT_3D('',${at},${axis},${from})`);

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

function coloured(solids: readonly string[], colour: string, context: string, add: Add, once: Add): void {
  const [red, green, blue] = [1, 3, 5].map((at) => real(Number.parseInt(colour.slice(at, at + 2), 16) / 255, 1e6));
  const fill = once(`FILL_AREA_STYLE_COLOUR('',${once(`COLOUR_RGB('',${red},${green},${blue})`)})`);
  const area = once(`SURFACE_STYLE_FILL_AREA(${once(`FILL_AREA_STYLE('',(${fill}))`)})`);
  const style = once(
    `PRESENTATION_STYLE_ASSIGNMENT((${once(`SURFACE_STYLE_USAGE(.BOTH.,${once(`SURFACE_SIDE_STYLE('',(${area}))`)})`)}))`,
  );
  const styled = solids.map((solid) => add(`STYLED_ITEM('colour',(${style}),${solid})`));
  add(`MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(${styled.join()}),${context})`);
}

// ---- solids ------------------------------------------------------------------------------------------------

function solidEntity({ outer, voids }: Solid, surface: Surface, named: string, add: Add, once: Add): string {
  const shell = (faces: readonly ShellFace[]) => shellEntity(faces, surface, add, once);
  if (voids.length === 0) return add(`MANIFOLD_SOLID_BREP(${named},${shell(outer)})`);
  const hollow = voids.map((one) => add(`ORIENTED_CLOSED_SHELL('',*,${shell(one)},.T.)`));
  return add(`BREP_WITH_VOIDS(${named},${shell(outer)},(${hollow.join()}))`);
}

function shellEntity(faces: readonly ShellFace[], { arrangement }: Surface, add: Add, once: Add): string {
  const { points, edges } = arrangement;
  const up = direction(0, 0, 1, once);
  const point = (index: number, z: number) => xyz(points[index].x, points[index].y, z, once);
  const vertices = new Map<string, string>();
  const vertex = (index: number, z: number): string => {
    const at = point(index, z);
    const known = vertices.get(at) ?? add(`VERTEX_POINT('',${at})`);
    vertices.set(at, known);
    return known;
  };
  const line = (at: string, ahead: string) => once(`LINE('',${at},${once(`VECTOR('',${ahead},1.)`)})`);

  /** An axis through the centre of an arc, angles counted from where it starts. */
  const axisOf = (centre: Point, start: Point, z: number): string => {
    const [x, y] = unit(start.x - centre.x, start.y - centre.y);
    return placement(xyz(centre.x, centre.y, z, once), up, direction(x, y, 0, once), once);
  };
  const made = new Map<ShellEdge, string>();
  /** An edge, and whether it was written in its own direction: those on arcs run counter-clockwise. */
  const edgeEntity = (edge: ShellEdge): { name: string; along: boolean } => {
    const along = edge.kind === 'upright' || edges[edge.edge].bulge >= 0;
    const name = made.get(edge) ?? add(edgeCurve(edge));
    made.set(edge, name);
    return { name, along };
  };
  const edgeCurve = (edge: ShellEdge): string => {
    if (edge.kind === 'upright') {
      const curve = line(point(edge.point, edge.from), up);
      return `EDGE_CURVE('',${vertex(edge.point, edge.from)},${vertex(edge.point, edge.to)},${curve},.T.)`;
    }
    const { from, to, bulge } = walked(arrangement, { edge: edge.edge, along: edges[edge.edge].bulge >= 0 });
    const [a, b] = [points[from], points[to]];
    const { arc } = edgeBetween({ ...a, bulge }, { ...b, bulge: 0 });
    const [x, y] = unit(b.x - a.x, b.y - a.y);
    const curve = arc
      ? once(`CIRCLE('',${axisOf(arc.centre, a, edge.z)},${real(arc.radius)})`)
      : line(point(from, edge.z), direction(x, y, 0, once));
    return `EDGE_CURVE('',${vertex(from, edge.z)},${vertex(to, edge.z)},${curve},.T.)`;
  };

  const bound = (sides: readonly Side[], outer: boolean): string => {
    const oriented = sides.map(({ edge, along }) => {
      const written = edgeEntity(edge);
      return add(`ORIENTED_EDGE('',*,*,${written.name},${flag(written.along === along)})`);
    });
    return add(`${outer ? 'FACE_OUTER_BOUND' : 'FACE_BOUND'}('',${add(`EDGE_LOOP('',(${oriented.join()}))`)},.T.)`);
  };
  /** The surface under a face, and whether its own normal points outside. */
  const surfaceUnder = (face: ShellFace): { surface: string; outside: boolean } => {
    if (face.kind === 'level') {
      const axis = direction(0, 0, face.up ? 1 : -1, once);
      const at = placement(xyz(0, 0, face.z, once), axis, direction(1, 0, 0, once), once);
      return { surface: once(`PLANE('',${at})`), outside: true };
    }
    const { from, to, bulge } = walked(arrangement, face.walk);
    const [a, b] = [points[from], points[to]];
    const { arc } = edgeBetween({ ...a, bulge }, { ...b, bulge: 0 });
    if (arc) {
      const axis = axisOf(arc.centre, bulge > 0 ? a : b, face.from);
      return { surface: once(`CYLINDRICAL_SURFACE('',${axis},${real(arc.radius)})`), outside: bulge > 0 };
    }
    const [x, y] = unit(b.x - a.x, b.y - a.y);
    const at = placement(point(from, face.from), direction(y, -x, 0, once), direction(x, y, 0, once), once);
    return { surface: once(`PLANE('',${at})`), outside: true };
  };

  const written = faces.map((face) => {
    const bounds = face.bounds.map((sides, i) => bound(sides, i === 0));
    const { surface, outside } = surfaceUnder(face);
    return add(`ADVANCED_FACE('',(${bounds.join()}),${surface},${flag(outside)})`);
  });
  return add(`CLOSED_SHELL('',(${written.join()}))`);
}

const flag = (yes: boolean): string => (yes ? '.T.' : '.F.');

function unit(x: number, y: number): [number, number] {
  const length = Math.hypot(x, y);
  return [x / length, y / length];
}
