/** The language's services with those of the editor added to them. */
import { type FileSystemProvider, inject, type Module } from 'langium';
import {
  createDefaultModule,
  createDefaultSharedModule,
  type LangiumServices,
  type LangiumSharedServices,
  type PartialLangiumServices,
  type PartialLangiumSharedServices,
} from 'langium/lsp';
import type { Connection } from 'vscode-languageserver';
import { LobeModule, LobeSharedModule } from '../../language/module.ts';
import { DesignActions } from './actions.ts';
import { Analyses } from './analyses.ts';
import { DesignColours } from './colours.ts';
import { DesignCompletion } from './completion.ts';
import { DesignDefinitions } from './definitions.ts';
import { DesignValidator } from './findings.ts';
import { DesignFormatter } from './formatting.ts';
import { DesignHints } from './hints.ts';
import { DesignHover } from './hover.ts';
import { ImportLinks } from './links.ts';
import type { PdfMaker } from './papers.ts';
import type { PartsMaker } from './part-files.ts';
import { Places } from './places.ts';
import { DesignHighlights, DesignMentions, DesignReferences } from './references.ts';
import { DesignRename } from './rename.ts';
import { Settings } from './settings.ts';
import { DesignFolding, DesignKinds, DesignSymbols } from './symbols.ts';
import { DesignBuilder, DesignUpdates } from './updating.ts';
import { OpenWorkspace } from './workspace.ts';

/** What is ours beside the parser library's services. */
export interface Own {
  readonly Analyses: Analyses;
  readonly Places: Places;
  readonly Settings: Settings;
  readonly validation: { readonly DocumentValidator: DesignValidator };
}

export type DesignServices = LangiumServices & Own;

/** How a server reaches its client, files, and the pages that came with it. */
export interface Surroundings {
  readonly connection: Connection;
  readonly files: FileSystemProvider;
  /** Where the findings' pages lie, as a URL ending in a slash. */
  readonly pages?: string;
  /** Loads what makes a PDF; absent where that cannot be done. */
  readonly pdf?: () => Promise<PdfMaker>;
  readonly parts?: PartsMaker;
}

const shared: Module<LangiumSharedServices, PartialLangiumSharedServices> = {
  lsp: {
    DocumentUpdateHandler: (services) => new DesignUpdates(services),
    NodeKindProvider: () => new DesignKinds(),
  },
  workspace: {
    DocumentBuilder: (services) => new DesignBuilder(services),
    WorkspaceManager: (services) => new OpenWorkspace(services),
  },
};

const language = (settings: Settings): Module<DesignServices, PartialLangiumServices & Own> => ({
  Analyses: (services) => new Analyses(services),
  Places: (services) => new Places(services),
  Settings: () => settings,
  references: { References: (services) => new DesignReferences(services) },
  validation: { DocumentValidator: (services) => new DesignValidator(services) },
  lsp: {
    CodeActionProvider: (services) => new DesignActions(services),
    CompletionProvider: (services) => new DesignCompletion(services),
    DefinitionProvider: (services) => new DesignDefinitions(services),
    DocumentHighlightProvider: (services) => new DesignHighlights(services),
    DocumentLinkProvider: () => new ImportLinks(),
    DocumentSymbolProvider: () => new DesignSymbols(),
    FoldingRangeProvider: () => new DesignFolding(),
    Formatter: () => new DesignFormatter(),
    HoverProvider: (services) => new DesignHover(services),
    InlayHintProvider: (services) => new DesignHints(services),
    ReferencesProvider: (services) => new DesignMentions(services),
    RenameProvider: (services) => new DesignRename(services),
    SemanticTokenProvider: () => new DesignColours(),
  },
});

export function createServices({ connection, files, pages }: Surroundings): DesignServices {
  const context = { connection, fileSystemProvider: () => files };
  const common = inject(createDefaultSharedModule(context), LobeSharedModule, shared);
  const services = inject(createDefaultModule({ shared: common }), LobeModule, language(new Settings(pages)));
  common.ServiceRegistry.register(services);
  return services;
}
