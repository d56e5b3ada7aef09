/** The parts of which the language is put together; an editor's server adds its own to them. */
import {
  DefaultServiceRegistry,
  type LangiumCoreServices,
  type LangiumParser,
  type LangiumSharedCoreServices,
  type Module,
  type PartialLangiumCoreServices,
  type PartialLangiumSharedCoreServices,
  type URI,
} from 'langium';
import { LobeDocumentBuilder, LobeDocumentFactory } from './documents.ts';
import { LobeGeneratedModule, LobeGeneratedSharedModule } from './generated/module.ts';
import { LobeLexer } from './lexer.ts';
import { LobeIndexManager, LobeLinker, LobeScopeComputation, LobeScopeProvider } from './names.ts';
import { LobeParser } from './parser.ts';
import { LobeValueConverter } from './values.ts';

/** Every file is read as this language, whatever it is called (standard input, an unsaved text). */
class OneLanguage extends DefaultServiceRegistry {
  override getServices(_uri: URI): LangiumCoreServices {
    return this.all[0]!;
  }
}

export const LobeModule: Module<LangiumCoreServices, PartialLangiumCoreServices> = {
  ...LobeGeneratedModule,
  parser: {
    ParserConfig: () => ({ maxLookahead: 1, recoveryEnabled: true, skipValidations: true }),
    LangiumParser: (services) => new LobeParser(services) as unknown as LangiumParser,
    Lexer: (services) => new LobeLexer(services),
    ValueConverter: () => new LobeValueConverter(),
  },
  references: {
    Linker: (services) => new LobeLinker(services),
    ScopeProvider: (services) => new LobeScopeProvider(services),
    ScopeComputation: (services) => new LobeScopeComputation(services),
  },
};

export const LobeSharedModule: Module<LangiumSharedCoreServices, PartialLangiumSharedCoreServices> = {
  ...LobeGeneratedSharedModule,
  ServiceRegistry: (services) => new OneLanguage(services),
  workspace: {
    DocumentBuilder: (services) => new LobeDocumentBuilder(services),
    IndexManager: (services) => new LobeIndexManager(services),
    LangiumDocumentFactory: (services) => new LobeDocumentFactory(services),
  },
};
