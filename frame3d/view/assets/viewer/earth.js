// The ground under a frame, and what stands out of it at its sockets, as things beside the frame.
//
// A ground: {surface: {xs, ys, zs}, wanted, limits: [least, most], sockets: [{name, x, y, out}], states:
// {clear, dig, fill}}, mm: zs by rows along, over what the frame is drawn on; wanted is what is to stand
// out of the ground, out what does; of each state {light, dark, text}.

const HALF = 60;

// What stands out of the ground, and what is dug or filled for it, with the string moved up by `by`.
export function moved({out}, [least, most], by) {
  const stands = out + by, dig = Math.max(0, least - stands), fill = Math.max(0, stands - most);
  return {stands, dig, fill, state: dig > .05 ? 'dig' : fill > .05 ? 'fill' : 'clear'};
}

// `times`: how many times heights of the ground are drawn; `say(mm)`: a length as text.
export function groundThings({surface: {xs, ys, zs}, sockets, limits, wanted, states}, by, times, say) {
  const at = (i, j) => [xs[i], ys[j], (zs[j * xs.length + i] - by) * times], triangles = [];
  for (let j = 0; j + 1 < ys.length; j++)
    for (let i = 0; i + 1 < xs.length; i++) {
      const [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
      triangles.push(...a, ...b, ...c, ...a, ...c, ...d);
    }
  // Those that ask for most are named first: others where there is room.
  const rows = sockets.map((one) => ({...one, ...moved(one, limits, by)}));
  rows.sort((a, b) => b.dig + b.fill - a.dig - a.fill);
  return [
    {triangles, colour: {light: '#a8946d', dark: '#6f6248'}, alpha: .6, ground: true},
    ...rows.map((one) => ({
      triangles: column((wanted - one.stands) * times, wanted + HALF), at: [one.x, one.y],
      colour: states[one.state],
      labels: [{at: [one.x, one.y, wanted + 3 * HALF], 
        text: `${one.name} ${say(one.stands)}${one.state === 'clear' ? ''
          : `, ${one.state} ${say(one.dig + one.fill)}`}`}],
    })),
  ];
}

// A square column between two heights, wider than the socket in it.
function column(low, high) {
  const ring = [[-HALF, -HALF], [HALF, -HALF], [HALF, HALF], [-HALF, HALF]];
  return ring.flatMap(([a, b], k) => {
    const [c, d] = ring[(k + 1) % 4];
    return [a, b, low, c, d, low, c, d, high, a, b, low, c, d, high, a, b, high,
            0, 0, high, a, b, high, c, d, high];
  });
}
