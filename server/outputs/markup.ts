/** Text that may say anything, as markup can carry it. */

/** Characters that no XML 1.0 document may hold become the replacement character. */
export const lawful = (text: string): string =>
  text.replace(
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g,
    '\ufffd',
  );

/** For text between tags, and for attributes in double quotes. */
export const escaped = (text: string): string =>
  text.replace(/[&<>"]/g, (character) => `&#${character.charCodeAt(0)};`);
