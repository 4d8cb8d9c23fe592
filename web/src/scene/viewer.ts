// The mould in three dimensions: one canvas, drawn only when something moved. It alone
// knows the library that draws, and gives back what it took.
import * as three from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { fragment, vertex } from "./shader";

export interface Shown {
  places: Float32Array<ArrayBuffer>; // m, three a vertex
  corners: Uint32Array<ArrayBuffer>; // three a triangle
}

export interface Values {
  of: Float32Array<ArrayBuffer>;
  on: "vertices" | "triangles";
  low: number;
  high: number;
  limit: number | null;
  below: boolean; // what is under the limit is over it
}

export interface Route {
  key: string;
  points: number[][]; // m
}

export interface Hit {
  at: [number, number, number]; // m
  value: number | null;
}

const plain = { map: ["#d9d2c0", "#d9d2c0"] };

export class Viewer {
  private renderer: three.WebGLRenderer;
  private scene = new three.Scene();
  private camera = new three.PerspectiveCamera(35, 1, 0.001, 100);
  private controls: OrbitControls;
  private material: three.ShaderMaterial;
  private body: three.Mesh | null = null;
  private shown: Shown | null = null;
  private values: Values | null = null;
  private routes = new three.Group();
  private yarns: three.LineSegments | null = null;
  private marks = new three.Group();
  private asked = false;
  private resize: ResizeObserver;
  private down: { x: number; y: number } | null = null;

  constructor(
    private canvas: HTMLCanvasElement,
    private picked: (hit: Hit) => void,
    private onRoute: (key: string) => void,
  ) {
    this.renderer = new three.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.camera.up.set(0, 0, 1);
    this.controls = new OrbitControls(this.camera, canvas);
    this.controls.enableDamping = false;
    this.controls.addEventListener("change", () => this.ask());
    this.material = new three.ShaderMaterial({
      vertexShader: vertex,
      fragmentShader: fragment,
      side: three.DoubleSide,
      uniforms: {
        map: { value: texture(plain.map) },
        low: { value: 0 },
        high: { value: 1 },
        limit: { value: 0 },
        limited: { value: 0 },
        below: { value: 0 },
        valued: { value: 0 },
        section: { value: new three.Vector4(0, 0, 1, 1e9) },
      },
    });
    this.scene.add(this.routes, this.marks);
    this.resize = new ResizeObserver(() => this.fit());
    this.resize.observe(canvas.parentElement!);
    canvas.addEventListener("pointerdown", this.press);
    canvas.addEventListener("pointerup", this.release);
    canvas.addEventListener("keydown", this.key);
    this.fit();
  }

  dispose(): void {
    this.resize.disconnect();
    this.canvas.removeEventListener("pointerdown", this.press);
    this.canvas.removeEventListener("pointerup", this.release);
    this.canvas.removeEventListener("keydown", this.key);
    this.controls.dispose();
    this.clear(this.routes);
    this.clear(this.marks);
    this.dropYarns();
    this.body?.geometry.dispose();
    this.material.uniforms.map!.value.dispose();
    this.material.dispose();
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }

  colours(map: string[]): void {
    plain.map = ["#d9d2c0", "#d9d2c0"];
    this.material.uniforms.map!.value.dispose();
    this.material.uniforms.map!.value = texture(map);
    this.ask();
  }

  /** Shows a surface; the view stays where it is unless the size is another one. */
  show(shown: Shown): void {
    const before = this.shown && sizeOf(this.shown);
    this.shown = shown;
    this.values = null;
    this.build();
    const size = sizeOf(shown);
    if (!before || Math.abs(before.radius / size.radius - 1) > 0.2) this.look([-0.6, -0.75, 0.55]);
    this.ask();
  }

  paint(values: Values | null): void {
    this.values = values;
    this.build();
    this.ask();
  }

  /** Looks at the whole from a direction. */
  look(from: [number, number, number]): void {
    if (!this.shown) return;
    const { centre, radius } = sizeOf(this.shown);
    const away = (1.15 * radius) / Math.sin((this.camera.fov * Math.PI) / 360) / Math.min(1, this.camera.aspect);
    this.controls.target.copy(centre);
    this.camera.position.copy(centre).addScaledVector(new three.Vector3(...from).normalize(), away);
    this.camera.near = away / 100;
    this.camera.far = away * 10;
    this.camera.updateProjectionMatrix();
    this.controls.update();
    this.ask();
  }

  /** Cuts away what lies beyond a share of the extent along an axis; 1 shows all. */
  section(axis: 0 | 1 | 2, share: number): void {
    if (!this.shown) return;
    const box = boxOf(this.shown);
    const normal = [0, 0, 0];
    normal[axis] = 1;
    const [low, high] = [box.min.getComponent(axis), box.max.getComponent(axis)];
    const at = share >= 1 ? 1e9 : low + share * (high - low);
    this.material.uniforms.section!.value.set(normal[0]!, normal[1]!, normal[2]!, at);
    this.ask();
  }

  lines(routes: Route[], chosen: string, ink: string, accent: string): void {
    this.clear(this.routes);
    const lift = this.shown ? 0.004 * sizeOf(this.shown).radius : 0;
    for (const r of routes) {
      const geometry = new three.BufferGeometry().setFromPoints(
        r.points.map((p) => new three.Vector3(p[0], p[1], p[2]! + lift)),
      );
      const material = new three.LineBasicMaterial({
        color: r.key === chosen ? accent : ink,
        depthTest: r.key !== chosen,
      });
      const line = new three.Line(geometry, material);
      line.userData.key = r.key;
      this.routes.add(line);
    }
    this.ask();
  }

  /** Draws short strokes along the yarns, on some of the vertices. */
  threads(warp: Float32Array | null, weft: Float32Array | null, ink: string): void {
    this.dropYarns();
    if (warp && this.shown) {
      const { radius } = sizeOf(this.shown);
      const count = this.shown.places.length / 3;
      const every = Math.max(1, Math.floor(count / 500));
      const half = radius / 30;
      const points: number[] = [];
      for (const [yarn, share] of [
        [warp, 1],
        [weft, 0.5],
      ] as const) {
        if (!yarn) continue;
        for (let v = 0; v < count; v += every) {
          for (const way of [-1, 1]) {
            for (let k = 0; k < 3; k++)
              points.push(
                this.shown.places[3 * v + k]! + way * share * half * yarn[3 * v + k]! + (k === 2 ? 0.003 * radius : 0),
              );
          }
        }
      }
      const geometry = new three.BufferGeometry().setAttribute("position", new three.Float32BufferAttribute(points, 3));
      this.yarns = new three.LineSegments(geometry, new three.LineBasicMaterial({ color: ink }));
      this.scene.add(this.yarns);
    }
    this.ask();
  }

  /** Marks places with dots, joined where there are two. */
  mark(places: number[][], accent: string): void {
    this.clear(this.marks);
    const size = this.shown ? sizeOf(this.shown).radius / 60 : 0.01;
    for (const p of places) {
      const dot = new three.Mesh(
        new three.SphereGeometry(size, 12, 8),
        new three.MeshBasicMaterial({ color: accent, depthTest: false }),
      );
      dot.position.set(p[0]!, p[1]!, p[2]!);
      this.marks.add(dot);
    }
    if (places.length === 2) {
      const geometry = new three.BufferGeometry().setFromPoints(places.map((p) => new three.Vector3(p[0], p[1], p[2])));
      this.marks.add(new three.Line(geometry, new three.LineBasicMaterial({ color: accent, depthTest: false })));
    }
    this.ask();
  }

  private build(): void {
    if (!this.shown) return;
    const indexed = new three.BufferGeometry();
    indexed.setAttribute("position", new three.BufferAttribute(this.shown.places, 3));
    indexed.setIndex(new three.BufferAttribute(this.shown.corners, 1));
    const perTriangle = this.values?.on === "triangles";
    if (!perTriangle && this.values) indexed.setAttribute("value", new three.BufferAttribute(this.values.of, 1));
    indexed.computeVertexNormals();
    const geometry = perTriangle ? indexed.toNonIndexed() : indexed;
    if (perTriangle) {
      const spread = new Float32Array(3 * this.values!.of.length);
      this.values!.of.forEach((x, i) => spread.fill(x, 3 * i, 3 * i + 3));
      geometry.setAttribute("value", new three.BufferAttribute(spread, 1));
      indexed.dispose();
    }
    const u = this.material.uniforms;
    const v = this.values;
    u.valued!.value = v ? 1 : 0;
    u.low!.value = v?.low ?? 0;
    u.high!.value = v?.high ?? 1;
    u.limit!.value = v?.limit ?? 0;
    u.limited!.value = v && v.limit !== null ? 1 : 0;
    u.below!.value = v?.below ? 1 : 0;
    if (this.body) {
      this.body.geometry.dispose();
      this.body.geometry = geometry;
    } else {
      this.body = new three.Mesh(geometry, this.material);
      this.scene.add(this.body);
    }
  }

  private ask(): void {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.renderer.render(this.scene, this.camera);
    });
  }

  private fit(): void {
    const box = this.canvas.parentElement!.getBoundingClientRect();
    if (box.width === 0 || box.height === 0) return;
    this.renderer.setSize(box.width, box.height, false);
    this.camera.aspect = box.width / box.height;
    this.camera.updateProjectionMatrix();
    this.ask();
  }

  private press = (e: PointerEvent): void => {
    this.down = { x: e.clientX, y: e.clientY };
  };

  /** A press that did not drag picks the seam or the place under it. */
  private release = (e: PointerEvent): void => {
    const from = this.down;
    this.down = null;
    if (!from || Math.hypot(e.clientX - from.x, e.clientY - from.y) > 4 || !this.body) return;
    const box = this.canvas.getBoundingClientRect();
    this.pickAt(((e.clientX - box.left) / box.width) * 2 - 1, 1 - ((e.clientY - box.top) / box.height) * 2);
  };

  private pickAt(x: number, y: number): void {
    const ray = new three.Raycaster();
    ray.setFromCamera(new three.Vector2(x, y), this.camera);
    ray.params.Line.threshold = sizeOf(this.shown!).radius / 80;
    const line = ray.intersectObjects(this.routes.children)[0];
    if (line) this.onRoute(line.object.userData.key as string);
    const hit = ray.intersectObject(this.body!)[0];
    if (hit) this.picked({ at: hit.point.toArray() as [number, number, number], value: this.valueAt(hit) });
  }

  private valueAt(hit: three.Intersection): number | null {
    if (!this.values || hit.faceIndex == null) return null;
    if (this.values.on === "triangles") return this.values.of[hit.faceIndex] ?? null;
    const corners = this.shown!.corners.slice(3 * hit.faceIndex, 3 * hit.faceIndex + 3);
    return [...corners].reduce((sum, v) => sum + this.values!.of[v]! / 3, 0);
  }

  private key = (e: KeyboardEvent): void => {
    const turn: Record<string, [number, number]> = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    };
    const step = turn[e.key];
    const zoom = { "+": 0.85, "=": 0.85, "-": 1.18 }[e.key];
    if (e.key === "Enter") this.pickAt(0, 0);
    if (!step && !zoom) return;
    e.preventDefault();
    const arm = this.camera.position.clone().sub(this.controls.target);
    if (zoom) arm.multiplyScalar(zoom);
    if (step) {
      arm.applyAxisAngle(this.camera.up, (step[0] * Math.PI) / 18);
      const side = new three.Vector3().crossVectors(arm, this.camera.up).normalize();
      const tilted = arm.clone().applyAxisAngle(side, (step[1] * Math.PI) / 18);
      if (Math.abs(tilted.angleTo(this.camera.up) - Math.PI / 2) < 1.5) arm.copy(tilted);
    }
    this.camera.position.copy(this.controls.target).add(arm);
    this.controls.update();
    this.ask();
  };

  private clear(group: three.Group): void {
    for (const child of [...group.children] as three.Mesh[]) {
      child.geometry.dispose();
      (child.material as three.Material).dispose();
      group.remove(child);
    }
  }

  private dropYarns(): void {
    if (!this.yarns) return;
    this.scene.remove(this.yarns);
    this.yarns.geometry.dispose();
    (this.yarns.material as three.Material).dispose();
    this.yarns = null;
  }
}

function texture(map: string[]): three.DataTexture {
  const data = new Uint8Array(map.length * 4);
  map.forEach((hex, i) => data.set([1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16)).concat(255), 4 * i));
  const t = new three.DataTexture(data, map.length, 1);
  t.magFilter = t.minFilter = three.NearestFilter;
  t.needsUpdate = true;
  return t;
}

function boxOf(s: Shown): three.Box3 {
  return new three.Box3().setFromArray(s.places);
}

function sizeOf(s: Shown): { centre: three.Vector3; radius: number } {
  const box = boxOf(s);
  return {
    centre: box.getCenter(new three.Vector3()),
    radius: Math.max(1e-6, box.getSize(new three.Vector3()).length() / 2),
  };
}
