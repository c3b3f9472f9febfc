// What colours mean: a square for each, and the groups that the parts of a frame are shown in.

// A square of a colour, another one on dark grounds; set by script, as the policy of a page allows
// no style in its text.
export function swatch(light, dark = light) {
  const made = document.createElement('span');
  made.className = 'swatch';
  made.style.setProperty('--light', light);
  made.style.setProperty('--dark', dark);
  return made;
}

// The groups of roles that are shown, as items of a list; `roles` as a viewer tells them, `states` those of
// the ground under the frame.
export function legend(roles, states = {}) {
  const groups = new Map(roles.filter((role) => role.shown).map((role) => [role.group, role]));
  for (const {text, light, dark} of Object.values(states)) groups.set(text, {colour: light, dark});
  return [...groups].map(([name, {colour, dark}]) => {
    const item = document.createElement('li');
    item.append(swatch(colour, dark), name);
    return item;
  });
}
