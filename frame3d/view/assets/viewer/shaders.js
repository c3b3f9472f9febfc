// What the graphics card runs, in GLSL ES 3.00: a vertex and a fragment shader for each program.

const PLACED = `layout(location=0) in vec3 aPoint;
layout(location=1) in vec3 aNormal;
layout(location=2) in vec3 aShift;
layout(location=3) in vec4 aTurn;
layout(location=4) in uint aId;
layout(location=5) in uint aFlags;
uniform mat4 uLook;
vec3 turned(vec3 v) { return v + 2.0 * cross(aTurn.xyz, cross(aTurn.xyz, v) + aTurn.w * v); }
`;
const MEMBER_VERTEX = PLACED + `
out vec3 vPoint, vNormal;
flat out uint vFlags, vId;
void main() {
  vPoint = turned(aPoint) + aShift;
  vNormal = turned(aNormal);
  vFlags = aFlags;
  vId = aId;
  gl_Position = uLook * vec4(vPoint, 1.0);
}`;
const CUT = `
uniform vec4 uCut;
void cutAway(vec3 p) { if (dot(uCut.xyz, p) > uCut.w) discard; }
`;
// IEC 61966-2-1 to a tenth of one of 255 steps, by roots: a power takes longer than all the rest of
// the ground where no graphics card helps.
const SCREEN = `
vec3 screen(vec3 c) {
  vec3 root = sqrt(max(c, 0.0));
  vec3 curve = 0.83453 * root + 0.29746 * sqrt(root) - 0.05559 * c - 0.07676;
  return mix(12.92 * c, curve, step(0.0031308, c));
}
`;
const SOLID_FRAGMENT = `in vec3 vPoint, vNormal;
flat in uint vFlags;
uniform vec3 uColour, uAccent, uSame, uAlone, uBack, uEye, uSun;
uniform vec2 uHaze;
uniform float uDim;
out vec4 oColour;
${CUT}${SCREEN}
void main() {
  cutAway(vPoint);
  vec3 colour = uColour;
  bool chosen = (vFlags & 1u) != 0u;
  if ((vFlags & 4u) != 0u) colour = uSame;
  if ((vFlags & 8u) != 0u) colour = uAlone;
  if (chosen) colour = uAccent;
  else if ((vFlags & 2u) != 0u) colour = mix(colour, uAccent, 0.45);
  vec3 sight = normalize(uEye - vPoint);
  vec3 n = normalize(vNormal);
  vec3 lit;
  if (!gl_FrontFacing) {
    // Behind a cut the inside of a body is seen: its cap, flat and a little darker.
    lit = colour * 0.62;
  } else {
    vec3 sky = vec3(0.60, 0.64, 0.70), earth = vec3(0.34, 0.31, 0.27);
    float sun = max(dot(n, uSun), 0.0);
    vec3 light = mix(earth, sky, n.z * 0.5 + 0.5) + sun * vec3(0.72, 0.68, 0.60)
      + 0.10 * max(dot(n, sight), 0.0);
    float shine = pow(max(dot(n, normalize(uSun + sight)), 0.0), 48.0);
    lit = colour * light + 0.10 * shine;
  }
  float far = clamp((distance(uEye, vPoint) - uHaze.x) / max(uHaze.y - uHaze.x, 0.01), 0.0, 1.0);
  lit = mix(lit, uBack, 0.10 * far);
  if (uDim > 0.0 && !chosen) lit = mix(lit, uBack, uDim);
  oColour = vec4(screen(lit), 1.0);
}`;
const THROUGH_FRAGMENT = `in vec3 vPoint, vNormal;
flat in uint vFlags;
uniform vec3 uColour;
out vec4 oColour;
${CUT}${SCREEN}
void main() {
  if ((vFlags & 1u) == 0u) discard;
  cutAway(vPoint);
  oColour = vec4(screen(uColour), 0.45);
}`;
const PICK_FRAGMENT = `in vec3 vPoint;
flat in uint vId;
out vec4 oId;
${CUT}
void main() {
  cutAway(vPoint);
  uint n = vId + 1u;
  oId = vec4(n & 255u, (n >> 8) & 255u, (n >> 16) & 255u, 255u) / 255.0;
}`;
const SHADOW_VERTEX = PLACED + `
uniform vec3 uSun;
uniform vec4 uGround;
out vec3 vPoint;
void main() {
  vPoint = turned(aPoint) + aShift;
  vec2 p = vPoint.xy - uSun.xy / uSun.z * max(vPoint.z, 0.0);
  gl_Position = vec4((p - uGround.xy) * uGround.zw - 1.0, 0.0, 1.0);
}`;
const SHADOW_FRAGMENT = `in vec3 vPoint;
out vec4 oColour;
${CUT}
void main() { cutAway(vPoint); if (vPoint.z < 0.0) discard; oColour = vec4(1.0); }`;
const GROUND_VERTEX = `layout(location=0) in vec2 aCorner;
uniform mat4 uLook;
uniform vec4 uReach;
out vec2 vPoint;
void main() {
  vPoint = uReach.xy + aCorner * uReach.zw;
  gl_Position = uLook * vec4(vPoint, 0.0, 1.0);
}`;
// The shadow is softened once, when it is cast: it is looked up for each pixel of each picture.
const SOFTEN_VERTEX = `layout(location=0) in vec2 aCorner;
void main() { gl_Position = vec4(aCorner, 0.0, 1.0); }`;
const SOFTEN_FRAGMENT = `uniform sampler2D uShadow;
uniform vec2 uSize;
uniform float uSoft;
out vec4 oColour;
void main() {
  vec2 at = gl_FragCoord.xy / uSize, step_ = 0.5 * exp2(uSoft) / vec2(textureSize(uShadow, 0));
  vec2 other = vec2(step_.x, -step_.y);
  oColour = vec4(0.25 * (textureLod(uShadow, at + step_, uSoft).r
    + textureLod(uShadow, at - step_, uSoft).r + textureLod(uShadow, at + other, uSoft).r
    + textureLod(uShadow, at - other, uSoft).r));
}`;
const GROUND_FRAGMENT = `in vec2 vPoint;
uniform vec3 uGroundColour, uGridColour;
uniform vec4 uReach, uGround, uCut;
uniform vec2 uGrid;
uniform float uShade, uSoft, uAlpha;
uniform sampler2D uShadow;
out vec4 oColour;
${SCREEN}
float lines(float step_m) {
  vec2 at = vPoint / step_m, wide = fwidth(at);
  vec2 off = abs(fract(at - 0.5) - 0.5) / max(wide, vec2(1e-6));
  float line = 1.0 - min(min(off.x, off.y), 1.0);
  // Lines that come too close melt away.
  return line * (1.0 - smoothstep(0.12, 0.45, max(wide.x, wide.y)));
}
void main() {
  float grid = lines(uGrid.x), coarse = lines(uGrid.y);
  vec2 at = (vPoint - uGround.xy) * uGround.zw * 0.5;
  float shade = texture(uShadow, at, uSoft).r;
  float far = length((vPoint - uReach.xy) / uReach.zw);
  if (far >= 1.0 || dot(uCut.xyz, vec3(vPoint, 0.0)) > uCut.w) discard;
  vec3 colour = mix(uGroundColour, uGridColour, 0.45 * grid);
  colour = mix(colour, uGridColour, 0.8 * coarse);
  if (all(greaterThan(at, vec2(0.0))) && all(lessThan(at, vec2(1.0))))
    colour *= 1.0 - uShade * shade;
  oColour = vec4(screen(colour), uAlpha * (1.0 - smoothstep(0.55, 1.0, far)));
}`;
// A thing beside the frame stands at uAt and is turned about its upright: by cosine and sine.
const THING_VERTEX = `layout(location=0) in vec3 aPoint;
uniform mat4 uLook;
uniform vec4 uAt;
out vec3 vPoint;
void main() {
  vec2 p = vec2(aPoint.x * uAt.z - aPoint.y * uAt.w, aPoint.x * uAt.w + aPoint.y * uAt.z);
  vPoint = vec3(p + uAt.xy, aPoint.z);
  gl_Position = uLook * vec4(vPoint, 1.0);
}`;
const THING_FRAGMENT = `in vec3 vPoint;
uniform vec3 uColour, uSun;
uniform float uAlpha, uLit;
out vec4 oColour;
${CUT}${SCREEN}
void main() {
  cutAway(vPoint);
  vec3 n = normalize(cross(dFdx(vPoint), dFdy(vPoint)));
  float light = 0.62 + 0.5 * max(dot(n.z < 0.0 ? -n : n, uSun), 0.0);
  oColour = vec4(screen(uColour * mix(1.0, light, uLit)), uAlpha);
}`;
const BODY_VERTEX = `layout(location=0) in vec3 aPoint;
uniform mat4 uLook;
out vec3 vPoint;
void main() { vPoint = aPoint; gl_Position = uLook * vec4(aPoint, 1.0); }`;
const BODY_FRAGMENT = `in vec3 vPoint;
uniform vec3 uColour;
uniform float uAlpha;
out vec4 oColour;
${CUT}${SCREEN}
void main() { cutAway(vPoint); oColour = vec4(screen(uColour), uAlpha); }`;

export const SHADERS = {
  solid: [MEMBER_VERTEX, SOLID_FRAGMENT], through: [MEMBER_VERTEX, THROUGH_FRAGMENT],
  pick: [MEMBER_VERTEX, PICK_FRAGMENT], shadow: [SHADOW_VERTEX, SHADOW_FRAGMENT],
  soften: [SOFTEN_VERTEX, SOFTEN_FRAGMENT], ground: [GROUND_VERTEX, GROUND_FRAGMENT],
  body: [BODY_VERTEX, BODY_FRAGMENT], thing: [THING_VERTEX, THING_FRAGMENT],
};
