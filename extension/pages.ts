/** The pages that explain findings: they ship with the extension and are reached by links of the form `…/finding/<code>`. */

/** The code that a link asks for, if a page of that name ships; anything else is no link of ours. */
export function findingAsked(path: string, shipped: readonly string[]): string | undefined {
  const code = /^\/finding\/([a-z]+(?:-[a-z]+)*)$/.exec(path)?.[1];
  return code !== undefined && shipped.includes(code) ? code : undefined;
}

/** Path segments of a finding's page below the extension's folder. */
export const findingPagePath = (code: string): readonly string[] => ['extension', 'docs', 'findings', `${code}.md`];
