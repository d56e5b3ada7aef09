/** What the client says of itself at the start. */
import type { InitializeParams } from 'vscode-languageserver';

export class Settings {
  private page: (code: string) => string | undefined = () => undefined;

  /** `shipped`: where the pages lie that came with the server, as a URL ending in a slash. */
  constructor(shipped?: string) {
    if (shipped) this.page = (code) => `${shipped}${code}.md`;
  }

  /** Takes what is sound of the client's wishes; anything else is left as it was. */
  read({ initializationOptions }: InitializeParams): void {
    const pages: unknown = initializationOptions?.pages;
    if (typeof pages === 'string' && URL.canParse(pages)) this.page = (code) => `${pages}${code}`;
  }

  /** Address of the page that explains a code, where there is one. */
  pageOf(code: string): string | undefined {
    return this.page(code);
  }
}
