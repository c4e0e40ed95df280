#include "http/mdr_kept.h"

#include "http/mdr_gzip.h"

enum { KEPT_BYTES = 4 << 20 }; /* cap of the packed files of the web app */

mdr_code mdr_kept_start(mdr_kept *kept, mdr_err *err)
{
    kept->n = 0;
    kept->arena = mdr_arena_new(KEPT_BYTES);
    return kept->arena != NULL ? MDR_OK
                               : MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
}

void mdr_kept_free(mdr_kept *kept)
{
    mdr_arena_free(kept->arena);
}

bool mdr_kept_pack(mdr_kept *kept, const mdr_reply *reply, mdr_arena *arena, mdr_blob *out)
{
    const mdr_blob plain = reply->body;
    if (reply->etag == NULL) {
        return mdr_gzip_pack(plain, MDR_GZIP_FAST, arena, out);
    }
    for (int i = 0; i < kept->n; i++) {
        if (kept->file[i].plain == plain.bytes) {
            *out = kept->file[i].packed;
            return true;
        }
    }
    mdr_blob packed;
    if (!mdr_gzip_pack(plain, MDR_GZIP_SMALL, arena, &packed)) {
        return false;
    }
    const char *copy =
        kept->n < MDR_KEPT_MAX ? mdr_arena_text_n(kept->arena, packed.bytes, packed.len) : NULL;
    if (copy != NULL) {
        kept->file[kept->n++] = (mdr_kept_file){plain.bytes, {copy, packed.len}};
    }
    *out = packed;
    return true;
}
