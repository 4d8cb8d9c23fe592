// A surface with a map on it. Values are looked up in a strip of colours, so that the
// legend is true; what is over the limit is pale blue under hatching with a black edge,
// which any eye and any printer tells apart.

export const vertex = /* glsl */ `
attribute float value;
varying float vValue;
varying vec3 vNormal;
varying vec3 vPlace;
void main() {
  vValue = value;
  vNormal = normalize(normalMatrix * normal);
  vPlace = position;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;

export const fragment = /* glsl */ `
uniform sampler2D map;
uniform float low, high, limit, limited, below, valued;
uniform vec4 section;
varying float vValue;
varying vec3 vNormal;
varying vec3 vPlace;
void main() {
  if (dot(vPlace, section.xyz) > section.w) discard;
  vec3 colour = vec3(0.82, 0.79, 0.71);
  if (valued > 0.5) {
    float share = clamp((vValue - low) / max(high - low, 1e-12), 0.0, 1.0);
    colour = texture2D(map, vec2(share * 0.998 + 0.001, 0.5)).rgb;
    if (limited > 0.5) {
      float past = below > 0.5 ? limit - vValue : vValue - limit;
      if (past > 0.0) {
        colour = vec3(0.60, 0.867, 1.0);
        if (mod(gl_FragCoord.x + gl_FragCoord.y, 9.0) < 1.6) colour = vec3(0.08);
      }
      if (abs(past) < fwidth(vValue) * 1.1) colour = vec3(0.0);
    }
  }
  vec3 n = normalize(gl_FrontFacing ? vNormal : -vNormal);
  float light = 0.72 + 0.28 * max(0.0, dot(n, normalize(vec3(0.3, 0.5, 0.8))));
  gl_FragColor = vec4(colour * light, 1.0);
}`;
