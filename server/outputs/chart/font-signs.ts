/** Which signs a font has, and what stands in a drawing for those that it lacks. */

/** Whether a font (OpenType, its bytes) has a glyph for a code point: its character map, formats 4 and 12. */
export function signsOf(font: Uint8Array): (point: number) => boolean {
  const view = new DataView(font.buffer, font.byteOffset, font.byteLength);
  const tables = Array.from({ length: view.getUint16(4) }, (_, i) => 12 + 16 * i);
  const map = tables.find((at) => view.getUint32(at) === 0x636d_6170); // "cmap"
  if (map === undefined) return () => false;
  const start = view.getUint32(map + 8);
  const ranges = Array.from({ length: view.getUint16(start + 2) }, (_, i) => {
    const at = start + view.getUint32(start + 8 + 8 * i);
    const format = view.getUint16(at);
    return format === 4 ? segmentsAt(view, at) : format === 12 ? groupsAt(view, at) : [];
  }).flat();
  return (point) => ranges.some(([from, to]) => from <= point && point <= to);
}

type Range = readonly [from: number, to: number];

function segmentsAt(view: DataView, at: number): Range[] {
  const twice = view.getUint16(at + 6);
  return Array.from({ length: twice / 2 }, (_, i): Range => {
    const end = view.getUint16(at + 14 + 2 * i);
    return [view.getUint16(at + 16 + twice + 2 * i), end];
  }).filter(([from]) => from < 0xffff);
}

const groupsAt = (view: DataView, at: number): Range[] =>
  Array.from({ length: view.getUint32(at + 12) }, (_, i): Range => {
    const group = at + 16 + 12 * i;
    return [view.getUint32(group), view.getUint32(group + 4)];
  });

const beyondLatin = /[^\p{ASCII}]+/gu;
const unseen = /\p{Default_Ignorable_Code_Point}/gu;

/** The text with the replacement character for every letter or picture of which no font has all signs. */
export function drawableIn(text: string, fonts: readonly Uint8Array[]): string {
  const has = fonts.map(signsOf);
  const letters = new Intl.Segmenter('en');
  const isDrawn = (sign: string) => has.some((known) => known(sign.codePointAt(0)!));
  return text.normalize('NFC').replace(beyondLatin, (run) =>
    [...letters.segment(run)]
      .map(({ segment }) => segment.replace(unseen, ''))
      .map((seen) => ([...seen].every(isDrawn) ? seen : '\ufffd'))
      .join(''),
  );
}
