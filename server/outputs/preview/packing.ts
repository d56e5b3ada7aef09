/** Typed arrays as text, so that shapes travel as plain JSON and stand in a page. */

type Numbers = Float32Array | Int8Array | Uint32Array;

/** The same with base64 for every typed array; little-endian, as is every machine that runs this. */
export type Packed<T> = { readonly [K in keyof T]: T[K] extends Numbers ? string : Packed<T[K]> };

export function packed<T extends object>(value: T): Packed<T> {
  return Object.fromEntries(
    Object.entries(value).map(([name, one]) => [name, ArrayBuffer.isView(one) ? base64(one as Numbers) : packed(one)]),
  ) as Packed<T>;
}

/** `String.fromCharCode` takes no more arguments than this on every engine. */
const chunk = 0x2000;

function base64({ buffer, byteOffset, byteLength }: Numbers): string {
  const bytes = new Uint8Array(buffer, byteOffset, byteLength);
  let text = '';
  for (let i = 0; i < bytes.length; i += chunk) text += String.fromCharCode(...bytes.subarray(i, i + chunk));
  return btoa(text);
}

/** The bytes of a base64 text, in a buffer of their own. */
export const unpacked = (text: string): ArrayBuffer => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;
