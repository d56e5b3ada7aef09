/** The library: glyph tables, materials and processes that every design may use, written in the language itself. */
import alphanumeric from './library/alphanumeric.lobe';
import decimal from './library/decimal.lobe';
import decoder from './library/decoder.lobe';
import hexadecimal from './library/hexadecimal.lobe';
import materials from './library/materials.lobe';
import processes from './library/processes.lobe';

const scheme = 'lobe-library:/';

const texts: ReadonlyMap<string, string> = new Map(
  Object.entries({ decimal, decoder, hexadecimal, alphanumeric, materials, processes }).map(([name, text]) => [
    `${scheme}${name}.lobe`,
    text,
  ]),
);

/** The library's files, as URIs. */
export const libraryFiles: readonly string[] = [...texts.keys()];

export function isLibraryFile(uri: string): boolean {
  return uri.startsWith(scheme);
}

/** The text of a library file. */
export function libraryText(uri: string): string | undefined {
  return texts.get(uri);
}
