/** Reads 3MF files: the package by a zip reader, its model by a validating XML parser, both sharing no code with what writes them. */
import { readFileSync } from 'node:fs';
import { validateXML } from 'xmllint-wasm';
import { type Entry, fromBuffer, type ZipFile } from 'yauzl';

/** The files of a package by their names, in its order; and when each says it was made. */
export async function unpacked(bytes: Uint8Array): Promise<Map<string, { text: string; made: number }>> {
  const zip = await new Promise<ZipFile>((resolve, reject) =>
    fromBuffer(Buffer.from(bytes), { lazyEntries: true, validateEntrySizes: true }, (error, opened) =>
      error ? reject(error) : resolve(opened),
    ),
  );
  const files = new Map<string, { text: string; made: number }>();
  return new Promise((resolve, reject) => {
    zip.on('error', reject);
    zip.on('end', () => resolve(files));
    zip.on('entry', (entry: Entry) =>
      zip.openReadStream(entry, async (error, stream) => {
        if (error) return reject(error);
        const chunks: Buffer[] = [];
        for await (const chunk of stream) chunks.push(chunk as Buffer);
        const made = entry.lastModFileDate * 2 ** 16 + entry.lastModFileTime;
        files.set(entry.fileName, { text: Buffer.concat(chunks).toString('utf8'), made });
        zip.readEntry();
      }),
    );
    zip.readEntry();
  });
}

const schema = readFileSync(new URL('../../../reference/3mf-core.xsd', import.meta.url), 'utf8');

/** The one attribute of the XML namespace that models use. */
const xml = `<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/XML/1998/namespace">
<xs:attribute name="lang" type="xs:language"/>
</xs:schema>`;

/** What a model says against the core schema; nothing where it is right. */
export async function offences(model: string): Promise<readonly string[]> {
  const { errors, valid } = await validateXML({
    xml: [{ fileName: '3dmodel.model', contents: model }],
    schema: [{ fileName: '3mf-core.xsd', contents: schema }],
    preload: [{ fileName: 'xml.xsd', contents: xml }],
    maxMemoryPages: 65536,
  });
  return valid ? [] : errors.map(({ rawMessage }) => rawMessage);
}

export interface ReadObject {
  readonly id: string;
  readonly name: string;
  readonly material: string;
  readonly colour: string;
  readonly vertices: readonly (readonly number[])[];
  readonly triangles: readonly (readonly number[])[];
}

export interface ReadModel {
  readonly metadata: Readonly<Record<string, string>>;
  readonly objects: readonly ReadObject[];
  readonly items: readonly { readonly object: ReadObject; readonly transform: readonly number[] }[];
}

/** The entities that a text can be written with. */
const unescaped = (text: string): string =>
  text.replace(/&(#x?[0-9a-f]+|\w+);/gi, (_, name: string) => {
    if (name.startsWith('#x')) return String.fromCodePoint(Number.parseInt(name.slice(2), 16));
    if (name.startsWith('#')) return String.fromCodePoint(Number.parseInt(name.slice(1), 10));
    return { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }[name] ?? `?${name}?`;
  });

const attributesOf = (tag: string): Record<string, string> =>
  Object.fromEntries([...tag.matchAll(/([\w:]+)="([^"]*)"/g)].map(([, name, value]) => [name, unescaped(value)]));

const tags = (text: string, name: string): Record<string, string>[] =>
  [...text.matchAll(new RegExp(`<${name}\\s([^>]*?)/?>`, 'g'))].map(([, inside]) => attributesOf(inside));

/** A model that keeps to the schema. */
export function readModel(model: string): ReadModel {
  const bases = tags(model, 'base');
  const objects = [...model.matchAll(/<object\s([^>]*)>([\s\S]*?)<\/object>/g)].map(([, head, body]): ReadObject => {
    const { id, name, pindex } = attributesOf(head);
    const base = bases[Number(pindex)];
    return {
      id,
      name,
      material: base.name,
      colour: base.displaycolor,
      vertices: tags(body, 'vertex').map(({ x, y, z }) => [Number(x), Number(y), Number(z)]),
      triangles: tags(body, 'triangle').map(({ v1, v2, v3 }) => [Number(v1), Number(v2), Number(v3)]),
    };
  });
  return {
    metadata: Object.fromEntries(
      [...model.matchAll(/<metadata name="([^"]*)">([^<]*)<\/metadata>/g)].map(([, name, said]) => [
        name,
        unescaped(said),
      ]),
    ),
    objects,
    items: tags(model, 'item').map(({ objectid, transform }) => ({
      object: objects.find(({ id }) => id === objectid)!,
      transform: transform.split(' ').map(Number),
    })),
  };
}

/** Where an item's corner lies: the row of its coordinates and 1 by the matrix (3MF Core Specification, 3.3). */
export const placedBy = (m: readonly number[], [x, y, z]: readonly number[]): number[] =>
  [0, 1, 2].map((k) => x * m[k] + y * m[3 + k] + z * m[6 + k] + m[9 + k]);
