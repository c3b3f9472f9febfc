// Colours of the two themes, and colours as light is reckoned with. `colour` is which of its two
// a role has there; those of roles and grounds stand in frame3d/solids/write/role_colours.py.

export const THEMES = {
  light: {back: '#f2f3ef', ground: '#dfe1d8', grid: '#b9bdb0', accent: '#d3196b', ink: '#16202a',
          halo: '#ffffff', shadow: 0.46, colour: 'light'},
  dark: {back: '#1b1f23', ground: '#2a2f33', grid: '#474f55', accent: '#ff6fae', ink: '#f2f5f7',
         halo: '#10151a', shadow: 0.55, colour: 'dark'},
};

// Red, green and blue from 0 to 1, of '#rrggbb'.
export function shares(hex) {
  return [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16) / 255);
}

export function linear(hex) {
  return shares(hex).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
}
