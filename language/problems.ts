import { AbstractParserErrorMessageProvider } from 'langium';

type Options<K extends keyof AbstractParserErrorMessageProvider> = Parameters<AbstractParserErrorMessageProvider[K]>[0];
export class LobeErrorWords extends AbstractParserErrorMessageProvider {
  override buildMismatchTokenMessage({ expected }: Options<'buildMismatchTokenMessage'>): string {
    return expected.name;
  }
  override buildNotAllInputParsedMessage(): string {
    return 'EOF';
  }
  override buildNoViableAltMessage({ expectedPathsPerAlt }: Options<'buildNoViableAltMessage'>): string {
    return expectedPathsPerAlt.flatMap((a) => a.map(([t]) => t?.name)).join(' ');
  }
  override buildEarlyExitMessage({ expectedIterationPaths }: Options<'buildEarlyExitMessage'>): string {
    return expectedIterationPaths.map(([t]) => t?.name).join(' ');
  }
}
