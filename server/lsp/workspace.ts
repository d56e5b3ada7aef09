/** Which files a server holds: those open in the editor, what they import, and the library. */
import { DefaultWorkspaceManager } from 'langium';

/** Starts at once: no folder is searched. Files come in as they are opened or imported. */
export class OpenWorkspace extends DefaultWorkspaceManager {
  override async initializeWorkspace(): Promise<void> {
    this._ready.resolve();
  }
}
