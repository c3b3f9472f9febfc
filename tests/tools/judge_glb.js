// Prints what gltf-validator finds in a GLB file: counts and messages, as JSON.
const fs = require('fs');
const validator = require('gltf-validator');

validator
  .validateBytes(new Uint8Array(fs.readFileSync(process.argv[2])))
  .then((report) => console.log(JSON.stringify(report.issues)));
