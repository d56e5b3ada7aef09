import { expect, it } from 'vitest';
import chart from '../../../../server/outputs/chart/chart.css';
import drawing from '../../../../server/outputs/chart/drawing.css';
import { fileStyle, type Theme, type ThemeName, themes } from '../../../../server/outputs/chart/themes.ts';

/** Relative luminance and contrast ratio: WCAG 2.2, "relative luminance" and "contrast ratio". */
const channels = (colour: string) => [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16) / 255);
const luminance = (rgb: readonly number[]) => {
  const [r, g, b] = rgb.map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const contrast = (one: readonly number[], other: readonly number[]) => {
  const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
};
const mixed = (over: readonly number[], under: readonly number[], opacity: number) =>
  over.map((c, i) => c * opacity + under[i] * (1 - opacity));

const names = Object.keys(themes) as ThemeName[];
const of = (name: ThemeName, colour: keyof Theme) => channels(themes[name][colour]);

/** What a rule of the drawings says of a property. */
const said = (selector: string, property: string) =>
  new RegExp(`${selector.replaceAll('.', '\\.')}\\s*\\{[^}]*\\b${property}:\\s*([^;}]+)`).exec(drawing)?.[1].trim();

it.each(names)('all text is at least 4.5 : 1 in the %s theme', (name) => {
  for (const ground of ['bg', 'tint', 'soft'] as const) {
    expect(contrast(of(name, 'ink'), of(name, ground))).toBeGreaterThanOrEqual(4.5);
    expect(contrast(of(name, 'dim'), of(name, ground))).toBeGreaterThanOrEqual(4.5);
  }
});

it.each(names)('curves, signs and outlines are at least 3 : 1 in the %s theme', (name) => {
  for (const colour of ['accent', 'bad', 'warn', 'info', 'ink', 'dim'] as const) {
    expect(contrast(of(name, colour), of(name, 'bg'))).toBeGreaterThanOrEqual(3);
  }
  expect(contrast(of(name, 'accent'), of(name, 'tint'))).toBeGreaterThanOrEqual(3);
  expect(contrast(of(name, 'rest'), of(name, 'bg'))).toBeGreaterThanOrEqual(2.9);
});

it.each(names)('what lies beyond the ends of the turn is dim, and still 3 : 1 in the %s theme', (name) => {
  const opacity = Number(said('.lw-past', 'opacity'));
  const curve = mixed(of(name, 'accent'), of(name, 'bg'), opacity);
  expect(opacity).toBeLessThan(1);
  expect(contrast(curve, of(name, 'bg'))).toBeGreaterThanOrEqual(3);
});

it('no text is smaller than 11 px, and none is faded', () => {
  const sizes = [...drawing.matchAll(/font-size:\s*([\d.]+)px/g)].map((match) => Number(match[1]));
  expect(sizes.length).toBeGreaterThan(3);
  expect(Math.min(...sizes)).toBeGreaterThanOrEqual(11);
});

it('every colour of the drawings has a value in every theme', () => {
  for (const name of names) expect(fileStyle(name)).not.toMatch(/var\(|undefined/);
});

it('high contrast draws curves by outline and hatch, the others with a tint', () => {
  expect(fileStyle('contrast')).not.toContain('.lw-lift{');
  expect(fileStyle('light')).toContain(`.lw-lift{fill:${themes.light.tint}}`);
});

it('the drawings and the panel name no colour of their own: in the editor all come from its theme', () => {
  for (const style of [drawing, chart]) {
    const coloured = [
      ...style.matchAll(
        /(?:^|[\s;{])(?:color|fill|stroke|background|border(?:-(?:bottom|left|color))?|outline):\s*([^;}]+)/g,
      ),
    ];
    expect(coloured.length).toBeGreaterThan(10);
    for (const [, value] of coloured) {
      const rest = value.replace(/var\(--(?:lw|vscode)-[\w-]+(?:, var\(--lw-[\w-]+\))?\)/g, '');
      expect(rest.trim()).toMatch(
        /^(?:none|transparent|currentcolor|url\(#lw-hatch\)|[\d.]+px(?: (?:solid|dashed))?)?$/,
      );
    }
  }
});
