/** The page that a webview loads: no content of its own, a strict policy, one script. */

export interface WebviewPage {
  /** What the webview may load style sheets and pictures from. */
  readonly cspSource: string;
  readonly script: string;
  readonly nonce: string;
  readonly language: string;
  readonly title: string;
}

const escapes: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const escaped = (text: string) => text.replace(/[&<>"]/g, (character) => escapes[character]!);

/** Nothing is allowed but the one script, and styles that this script or the editor brings. */
export function contentPolicy({ cspSource, nonce }: Pick<WebviewPage, 'cspSource' | 'nonce'>): string {
  return [
    `default-src 'none'`,
    `base-uri 'none'`,
    `form-action 'none'`,
    `script-src 'nonce-${nonce}'`,
    `style-src ${cspSource} 'nonce-${nonce}'`,
  ].join('; ');
}

export function webviewPage(page: WebviewPage): string {
  return `<!DOCTYPE html>
<html lang="${escaped(page.language)}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${escaped(contentPolicy(page))}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(page.title)}</title>
</head>
<body>
<div id="page"></div>
<script nonce="${escaped(page.nonce)}" src="${escaped(page.script)}"></script>
</body>
</html>
`;
}
