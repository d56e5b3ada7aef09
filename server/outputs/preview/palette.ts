/** The picture's colours, from those of the page that it stands in. */
import type { PartKind } from '../../reckon/parts/part.ts';
import { roleColours } from '../parts/roles.ts';
import type { Painted, Palette } from './picture.ts';

/** Red, green and blue, 0 to 1, sRGB. */
type Rgb = readonly [number, number, number];

/** A colour as a browser gives it back: `rgb(…)` in 255ths, or `color(srgb …)`. Grey where it is neither. */
export function rgbOf(computed: string): Rgb {
  const numbers = (computed.match(/-?\d*\.?\d+(?:e-?\d+)?/g) ?? []).map(Number);
  const [r, g, b] = computed.startsWith('color(srgb') ? numbers : numbers.map((value) => value / 255);
  return [r, g, b].every((value) => Number.isFinite(value)) ? [r, g, b] : [0.5, 0.5, 0.5];
}

export const rgbOfHex = (hex: string): Rgb =>
  [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255) as unknown as Rgb;

export const hexOf = (rgb: Rgb): string =>
  `#${rgb
    .map((value) =>
      Math.round(255 * Math.min(1, Math.max(0, value)))
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;

const mixed = (one: Rgb, other: Rgb, share: number): Rgb =>
  one.map((value, i) => value + share * (other[i] - value)) as unknown as Rgb;

const lightness = ([r, g, b]: Rgb): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;

/**
 * Parts have the colours that they have in files. On a dark ground they are a shade lighter and their edges are drawn
 * dark, so that both parts and edges stand out; in high contrast the edges carry the drawing and the faces step back.
 */
export function paletteOf(page: {
  readonly ground: Rgb;
  readonly ink: Rgb;
  readonly accent: Rgb;
  readonly contrast: boolean;
}): Palette {
  const { ground, ink, accent, contrast } = page;
  const dark = lightness(ground) < 0.4;
  const role = (hex: string): Rgb => {
    const own = rgbOfHex(hex);
    if (contrast) return mixed(ground, own, 0.45);
    return dark ? mixed(own, [1, 1, 1], 0.22) : own;
  };
  const painted = (face: Rgb): Painted => ({
    face: hexOf(face),
    engraved: hexOf(mixed(face, lightness(face) < 0.45 ? [1, 1, 1] : [0, 0, 0], 0.8)),
  });
  const kinds = Object.keys(roleColours) as PartKind[];
  const parts = kinds.map((kind): [PartKind, Palette['parts'][PartKind]] => {
    const own = role(roleColours[kind]);
    // Other in lightness, and not in hue alone.
    const lit = mixed(own, lightness(own) < 0.6 ? [1, 1, 1] : accent, 0.55);
    return [kind, { plain: painted(own), lit: painted(lit) }];
  });
  return {
    ground: hexOf(ground),
    ink: hexOf(contrast || !dark ? ink : mixed(ground, [0, 0, 0], 0.4)),
    accent: hexOf(accent),
    parts: Object.fromEntries(parts) as Palette['parts'],
  };
}

/** Reads the colours that an element's custom properties (`--lw-…`) come to. */
export function paletteFrom(element: HTMLElement): Palette {
  const probe = element.appendChild(document.createElement('span'));
  const read = (name: string): Rgb => {
    probe.style.color = `var(--lw-${name})`;
    return rgbOf(getComputedStyle(probe).color);
  };
  try {
    const contrast =
      document.body.className.includes('vscode-high-contrast') || matchMedia('(prefers-contrast: more)').matches;
    return paletteOf({ ground: read('bg'), ink: read('ink'), accent: read('accent'), contrast });
  } finally {
    probe.remove();
  }
}

/** Calls when the page's colours may have changed; gives back what ends that. */
export function onRepaint(call: () => void): () => void {
  const watched = new MutationObserver(call);
  watched.observe(document.body, {
    attributes: true,
    attributeFilter: ['class', 'data-vscode-theme-id', 'data-vscode-theme-kind'],
  });
  watched.observe(document.documentElement, { attributes: true, attributeFilter: ['style'] });
  const wishes = ['(prefers-color-scheme: dark)', '(prefers-contrast: more)'].map((wish) => matchMedia(wish));
  for (const wish of wishes) wish.addEventListener('change', call);
  return () => {
    watched.disconnect();
    for (const wish of wishes) wish.removeEventListener('change', call);
  };
}
