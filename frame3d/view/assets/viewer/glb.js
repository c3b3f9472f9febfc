// The scene's file (GLB 2.0, binary glTF), read as far as frame3d.view writes it.

export function readParts(glb) {
  const view = new DataView(glb);
  if (glb.byteLength < 20 || view.getUint32(0, true) !== 0x46546c67)
    throw new Error('the scene is not a GLB file');
  const length = view.getUint32(12, true);
  const tree = JSON.parse(new TextDecoder().decode(new Uint8Array(glb, 20, length)));
  const start = 20 + length + 8;
  const kinds = {5120: Int8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array};
  const wide = {SCALAR: 1, VEC3: 3, VEC4: 4};
  const numbers = (index) => {
    const accessor = tree.accessors[index], slot = tree.bufferViews[accessor.bufferView];
    const kind = kinds[accessor.componentType];
    const many = slot.byteStride ? accessor.count * slot.byteStride / kind.BYTES_PER_ELEMENT
      : accessor.count * wide[accessor.type];
    return new kind(glb, start + slot.byteOffset + (accessor.byteOffset || 0), many);
  };
  return tree.nodes.filter((node) => node.mesh !== undefined).map((node) => {
    const form = tree.meshes[node.mesh].primitives[0];
    const placed = node.extensions.EXT_mesh_gpu_instancing.attributes;
    const shift = numbers(placed.TRANSLATION), turn = numbers(placed.ROTATION);
    const count = shift.length / 3, places = new Float32Array(count * 7);
    for (let k = 0; k < count; k++) {
      places.set(shift.subarray(3 * k, 3 * k + 3), 7 * k);
      places.set(turn.subarray(4 * k, 4 * k + 4), 7 * k + 3);
    }
    const points = numbers(form.attributes.POSITION), {outside, far} = form.extras || {};
    return {
      points, normals: numbers(form.attributes.NORMAL), indices: numbers(form.indices), places,
      count, outside, far: far === undefined ? null : numbers(far), ids: new Uint32Array(count),
      flags: new Uint8Array(count), outer: outermost(points),
    };
  });
}

// The corners that reach farthest in 26 directions, to find what a member takes up.
function outermost(points) {
  const found = new Set();
  for (let a = -1; a <= 1; a++) for (let b = -1; b <= 1; b++) for (let c = -1; c <= 1; c++) {
    if (!a && !b && !c) continue;
    let best = -Infinity, at = 0;
    for (let k = 0; k < points.length; k += 3) {
      const reach = a * points[k] + b * points[k + 1] + c * points[k + 2];
      if (reach > best) { best = reach; at = k; }
    }
    found.add(at);
  }
  return [...found].map((k) => [points[k], points[k + 1], points[k + 2]]);
}
