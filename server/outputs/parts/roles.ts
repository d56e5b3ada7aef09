/** What a part is for, as a colour: the same in every format that has colours. */
import type { PartKind } from '../../reckon/parts/part.ts';

/** sRGB, #rrggbb; apart in lightness too. */
export const roleColours: Readonly<Record<PartKind, string>> = {
  cam: '#1d6e84',
  spacer: '#aab4bb',
  shaft: '#4a545c',
  gear: '#c2871a',
  bar: '#e8e4d8',
  'ratchet wheel': '#7a4a86',
  'push arm': '#2b5fa8',
  button: '#b0301c',
  pawl: '#a2639c',
  plate: '#7f958c',
  pillar: '#6f8079',
  coupon: '#8a9096',
};
