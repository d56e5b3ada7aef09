/** The formats of parts: what is named when one is asked for, and how its files end. */
export const formats = ['3mf', 'stl', 'step', 'dxf', 'svg', 'csv'] as const;
export type Format = (typeof formats)[number];
