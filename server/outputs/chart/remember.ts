/** Keeps what was drawn last, so that what did not change is not drawn anew. */

/**
 * A pure function that remembers its `most` latest results by the text of what they depend on. While one types, all
 * but one of them are asked for again.
 */
export function remembering<Given, Made>(
  most: number,
  key: (given: Given) => string,
  make: (given: Given) => Made,
): (given: Given) => Made {
  const known = new Map<string, Made>();
  return (given) => {
    const name = key(given);
    const made = known.has(name) ? known.get(name)! : make(given);
    known.delete(name);
    known.set(name, made);
    if (known.size > most) known.delete(known.keys().next().value!);
    return made;
  };
}
