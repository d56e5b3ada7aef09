/**
 * What lies on one bed as a 3MF file, to the 3MF Core Specification 1.3: named objects in millimetres, coloured by what they
 * are for, an item wherever one lies, the bed side down. The same parts give the same bytes.
 */
import type { Mechanism } from '../../../language/mechanism.ts';
import type { PrintedPart } from '../../reckon/parts/part.ts';
import { escaped, lawful } from '../markup.ts';
import { rounded } from '../rounded.ts';
import type { LaidPart } from './beds.ts';
import type { Mesh } from './mesh.ts';
import { roleColours } from './roles.ts';
import { zipped } from './zip.ts';

/** `meshOf` gives the surface of each part that is laid. */
export function threeMfOf(
  laid: readonly LaidPart[],
  meshOf: (part: PrintedPart) => Mesh,
  about: Mechanism['about'] = {},
): Uint8Array {
  const parts = [...new Set(laid.map(({ part }) => part))];
  const build = laid.map(
    (one) =>
      `<item objectid="${firstObject + parts.indexOf(one.part)}" transform="${standing(meshOf(one.part), one)}"/>`,
  );
  const materials = [...new Map(parts.map((part) => [materialOf(part), roleColours[part.kind]]))];
  const objects = parts.map((part, i) => {
    const index = materials.findIndex(([name]) => name === materialOf(part));
    return objectText(firstObject + i, part.name, index, meshOf(part));
  });
  const model = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"' +
      ' xmlns:lobewright="urn:lobewright:3mf">',
    ...metadata(about),
    '<resources>',
    `<basematerials id="${materialGroup}">`,
    ...materials.map(([name, colour]) => `<base name="${quoted(name)}" displaycolor="${colour.toUpperCase()}"/>`),
    '</basematerials>',
    ...objects,
    '</resources>',
    '<build>',
    ...build,
    '</build>',
    '</model>',
    '',
  ].join('\n');
  return zipped({ '[Content_Types].xml': contentTypes, '_rels/.rels': relations, '3D/3dmodel.model': model });
}

const materialGroup = 1;
const firstObject = 2;

const contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
`;

const relations = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/>
</Relationships>
`;

const quoted = (said: string): string => escaped(lawful(said));

/** "cam, pla": what slicers sort filaments by. */
const materialOf = ({ kind, material }: PrintedPart): string => `${kind}, ${material}`;

function metadata({ title, author, licence, revision }: Mechanism['about']): string[] {
  const rows: readonly (readonly [string, string | undefined])[] = [
    ['Title', title],
    ['Designer', author],
    ['LicenseTerms', licence],
    ['lobewright:Revision', revision],
    ['Application', 'Lobewright'],
  ];
  return rows.flatMap(([name, value]) =>
    value === undefined ? [] : [`<metadata name="${name}">${quoted(value)}</metadata>`],
  );
}

function objectText(id: number, name: string, material: number, { corners, triangles }: Mesh): string {
  const lines = [
    `<object id="${id}" type="model" name="${quoted(name)}" pid="${materialGroup}" pindex="${material}"><mesh><vertices>`,
  ];
  for (let i = 0; i < corners.length; i += 3)
    lines.push(`<vertex x="${rounded(corners[i])}" y="${rounded(corners[i + 1])}" z="${rounded(corners[i + 2])}"/>`);
  lines.push('</vertices><triangles>');
  for (let i = 0; i < triangles.length; i += 3)
    lines.push(`<triangle v1="${triangles[i]}" v2="${triangles[i + 1]}" v3="${triangles[i + 2]}"/>`);
  lines.push('</triangles></mesh></object>');
  return lines.join('\n');
}

/**
 * The turn and shift that put a part in its place, as twelve numbers of which each three are where x, y, z and the
 * origin go. With the front on the bed it is turned over about x first.
 */
function standing(mesh: Mesh, { part, corner, turn }: LaidPart): string {
  const over = part.bed === 'front' ? -1 : 1;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  /** The least of each turned axis. */
  let [x, y, z] = [Infinity, Infinity, Infinity];
  for (let i = 0; i < mesh.corners.length; i += 3) {
    const across = over * mesh.corners[i + 1];
    x = Math.min(x, cos * mesh.corners[i] - sin * across);
    y = Math.min(y, sin * mesh.corners[i] + cos * across);
    z = Math.min(z, over * mesh.corners[i + 2]);
  }
  const axes = [cos, sin, 0, -over * sin, over * cos, 0, 0, 0, over];
  return [...axes, corner.x - x, corner.y - y, -z].map(rounded).join(' ');
}
