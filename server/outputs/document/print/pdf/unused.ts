/**
 * Stands in the bundle for what the libraries for PDF and fonts bring along for files that we never give them: web fonts,
 * HTML within PDF, colours by name.
 */
const never = (): never => {
  throw new Error('a PDF of ours needs none of this');
};

export const parse = never;
export const NodeType = {};
export const converter = () => never;
export default never;
