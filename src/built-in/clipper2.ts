/** The polygon library, which the build puts into this file: see build.mjs. */
export { Clipper64, ClipType, FillRule, Path64, Paths64, PathType } from 'clipper2-js';
