// A paper that waits for a press: says how far it is, and asks for it again once it is there.
const told = document.getElementById("how-far");
const ASK_AFTER_MS = 700;

async function ask() {
  if (await isTime()) document.getElementById("ask-again").requestSubmit();
  else setTimeout(ask, ASK_AFTER_MS);
}

// Whether the paper is there, or it is not even in line yet.
async function isTime() {
  if (!told.dataset.howFar) return true;
  try {
    const answer = await fetch(told.dataset.howFar);
    const place = await answer.json();
    if (told.textContent !== place.words) told.textContent = place.words;
    return place.ready;
  } catch {
    // The server does not answer, or asks to sign in: the button says so when it is pressed.
    return false;
  }
}

setTimeout(ask, ASK_AFTER_MS);
