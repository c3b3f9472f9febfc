// Reads a DXF file with dxf-parser and prints what it found as JSON.
const fs = require("fs");
const loaded = require("dxf-parser");
const Parser = loaded.default || loaded;
const drawing = new Parser().parseSync(fs.readFileSync(process.argv[2], "utf8"));
const blocks = {};
for (const [name, block] of Object.entries(drawing.blocks)) {
  blocks[name] = block.entities || [];
}
process.stdout.write(
  JSON.stringify({
    header: drawing.header,
    layers: drawing.tables.layer.layers,
    entities: drawing.entities,
    blocks,
  })
);
