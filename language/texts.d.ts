/** Library files and style sheets are bundled as text (esbuild's text loader; a plugin of the same effect in the tests). */
declare module '*.lobe' {
  const text: string;
  export default text;
}
declare module '*.css' {
  const text: string;
  export default text;
}
