/** The colours of the drawings in files; in the editor they come from its own theme (`chart.css`). */
import drawing from './drawing.css';

export type ThemeName = 'light' | 'dark' | 'contrast';

/** What a colour is for. */
export interface Theme {
  readonly bg: string;
  readonly ink: string;
  /** Lesser text. */
  readonly dim: string;
  /** Hairlines: rests, rules, the ghosts of small hidden bars. */
  readonly hair: string;
  /** Floors, hidden bars, other cams: quiet, but to be seen. */
  readonly rest: string;
  /** Grounds a shade off the page. */
  readonly soft: string;
  readonly accent: string;
  /** What lies under a lift curve. */
  readonly tint: string;
  readonly bad: string;
  readonly warn: string;
  readonly info: string;
}

export const themes: Readonly<Record<ThemeName, Theme>> = {
  light: {
    bg: '#ffffff',
    ink: '#1f2a33',
    dim: '#55626d',
    hair: '#c3ccd3',
    rest: '#8b97a1',
    soft: '#eff3f5',
    accent: '#1d6e84',
    tint: '#cfe2e8',
    bad: '#b0301c',
    warn: '#8f5600',
    info: '#2b5fa8',
  },
  dark: {
    bg: '#1b2126',
    ink: '#dfe6ec',
    dim: '#aab7c1',
    hair: '#46525c',
    rest: '#75838e',
    soft: '#252d34',
    accent: '#71c4d7',
    tint: '#2b4854',
    bad: '#f2866f',
    warn: '#e3ab4b',
    info: '#8db7f2',
  },
  contrast: {
    bg: '#000000',
    ink: '#ffffff',
    dim: '#ffffff',
    hair: '#8a8a8a',
    rest: '#b8b8b8',
    soft: '#000000',
    accent: '#5fe3ff',
    tint: '#000000',
    bad: '#ff8f7d',
    warn: '#ffd04f',
    info: '#9cc7ff',
  },
};

/** Families in order; the first is the one shipped for PNG, the second as wide. */
export const fontStack = "'DejaVu Sans', Verdana, 'Segoe UI', sans-serif";

/** The drawings' style with a theme's colours written in, for a file that stands alone; high contrast keeps the hatch. */
export function fileStyle(name: ThemeName): string {
  const theme = themes[name];
  const value = (word: string) => (word === 'font' ? fontStack : theme[word as keyof Theme]);
  const lift = name === 'contrast' ? '' : '.lw-lift{fill:var(--lw-tint)}';
  return `${drawing}${lift}`
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/var\(--lw-([a-z]+)\)/g, (_, word: string) => value(word))
    .replace(/\s*\n\s*/g, '\n')
    .trim();
}

/** A theme as custom properties, for a page. */
export const properties = (name: ThemeName): string =>
  [...Object.entries(themes[name]), ['font', fontStack]].map(([word, value]) => `--lw-${word}:${value}`).join(';');
