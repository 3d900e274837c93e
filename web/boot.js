// Loads the program and says in plain words how far that is.
//
// The state of the page is the data-state attribute of <html>:
//   loading   the program is on its way
//   starting  it is here and has been started
//   ready     set by the program itself once its panels work
//   failed    it could not be loaded
//   stopped   it ended; it never should
// The sentence for the person goes into #loading.

const wasm = "crownbench.wasm";

function show(state, sentence) {
  document.documentElement.dataset.state = state;
  let place = document.getElementById("loading");
  if (!place) {
    place = document.createElement("p");
    place.id = "loading";
    place.setAttribute("role", "status");
    document.body.prepend(place);
  }
  place.textContent = sentence;
}

class Refusal extends Error {}

async function fetchProgram() {
  let response;
  try {
    response = await fetch(wasm);
  } catch {
    throw new Refusal("The program could not be fetched. Check the connection and load the page again.");
  }
  if (!response.ok) {
    throw new Refusal(`The server answered ${response.status} when asked for the program (${wasm}). Load the page again; if that does not help, the site is incomplete.`);
  }
  return response;
}

// Counts what arrives of a copy of the response. The copy leaves the response
// itself untouched, so that the browser can compile while it streams and can
// keep the compiled program for the next visit.
async function count(copy) {
  const plain = !copy.headers.get("Content-Encoding");
  const total = plain ? Number(copy.headers.get("Content-Length")) : 0;
  let bytes = 0;
  try {
    for (const reader = copy.body.getReader(); ;) {
      const { done, value } = await reader.read();
      if (done || document.documentElement.dataset.state !== "loading") return;
      bytes += value.length;
      const part = total ? `${Math.floor((100 * bytes) / total)} %` : `${(bytes / 1e6).toFixed(1)} MB`;
      show("loading", `Loading the program: ${part}`);
    }
  } catch {
    // The response itself fails too, and that is reported where it is used.
  }
}

async function instantiate(imports) {
  const response = await fetchProgram();
  if (WebAssembly.instantiateStreaming) {
    count(response.clone());
    try {
      return await WebAssembly.instantiateStreaming(response, imports);
    } catch {
      // A host that sends the wrong media type, or a connection that broke off:
      // fetch the whole file and try once more.
    }
  }
  const whole = await (response.bodyUsed ? await fetchProgram() : response).arrayBuffer();
  return WebAssembly.instantiate(whole, imports);
}

async function boot() {
  if (typeof WebAssembly !== "object") {
    throw new Refusal("This browser has no WebAssembly, or it is switched off. Crownbench needs it; please use a current Firefox, Chrome, Edge or Safari.");
  }
  if (typeof Go !== "function") {
    throw new Refusal("A part of the page (wasm_exec.js) is missing. Load the page again; if that does not help, the site is incomplete.");
  }
  show("loading", "Loading the program…");
  const go = new Go();
  const { instance } = await instantiate(go.importObject);
  show("starting", "Starting…");
  await go.run(instance);
  show("stopped", "The program has stopped. What you had entered is kept in this browser; load the page again to go on.");
}

boot().catch((err) => {
  const reason = err instanceof Refusal ? err.message : `The program could not be started (${err.message}). Load the page again.`;
  show("failed", reason);
});
