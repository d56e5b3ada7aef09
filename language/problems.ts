import { LangiumParserErrorMessageProvider } from 'langium';
export class LobeErrorWords extends LangiumParserErrorMessageProvider {}
