// The parser library calls Object.groupBy, which Node 20 does not have yet. Imported first by the command line,
// the language server, the tests and the grammar's generator; goes when Node 20 is no longer supported.
Object.groupBy ??= (items, keyOf) => {
  const groups = Object.create(null);
  let index = 0;
  for (const item of items) {
    const key = keyOf(item, index++);
    groups[key] ??= [];
    groups[key].push(item);
  }
  return groups;
};
