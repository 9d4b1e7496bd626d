// Loaded before anything else (`node -r`), in the oldest JavaScript: says one sentence on a Node that is too old.
if (Number(process.versions.node.split(".")[0]) < 24) {
  console.error(
    "Crewglass needs Node 24 or newer, and this is " +
      process.version +
      ". Run npm ci first: it brings one on Linux and Windows; on a Mac install it from nodejs.org.",
  );
  process.exit(1);
}
