import{a as t,o as e,t as n,n as s,b as a,c as i,s as o,d as l,e as r,f as c,m as u,w as d,i as $,g,P as p,h as f,j as b,k as h,l as m,A as w,p as _,q as y,r as v,u as k,v as x,x as C,y as j,z as S,B as O,C as T,D as E,E as A,T as M,F as I,G as L,H as P,I as N,J as R,K as q,L as B,M as D,N as U,O as G,Q as F,R as W,S as z,U as H,V as J,W as K,X as Q}from"./first.js";import{b as V,a as X,i as Y,o as Z,n as tt,s as et}from"./start.js";import{s as nt}from"./sync.js";import{b as st,a as at,c as it,l as ot,E as lt,r as rt,d as ct,R as ut}from"./rooms.js";async function dt(t){return(await $t(t)).owner}async function $t(e){const n=new t(e,{autoOpen:!1});try{await n.open();const t=await n.table("meta").get("owner"),e=await n.table("outbox").count();return{owner:t?{uid:t.uid,name:t.owner_name}:null,unsent:e}}catch{return{owner:null,unsent:0}}finally{n.close()}}class gt extends Error{constructor(t,e=0){super(t),this.name="AccountError",this.code=t,this.wait_s=e}}function pt(){return Tt("GET","/api/me")}async function ft(t,e,n){const{owner:s}=await Tt("POST","/api/sign-in",{name:t,passphrase:e,device_name:n});return jt(s)}async function bt(){await Tt("POST","/api/sign-out"),nt()}async function ht(t,e,n){await Tt("POST","/api/passphrase",{current:t,new:e,device_name:n})}async function mt(){return(await Tt("GET","/api/devices")).devices}async function wt(t){await Tt("DELETE",`/api/devices/${t}`)}function _t(){return Tt("POST","/api/pairings")}function yt(t){return Tt("GET",`/api/pairings/${t}`)}async function vt(t,e){await Tt("POST",`/api/pairings/${t}/allow`,{code:e})}async function kt(t){await Tt("DELETE",`/api/pairings/${t}`)}function xt(t,e){return Tt("POST","/api/pairings/claim",{secret:t,device_name:e})}async function Ct(t){const{owner:e,waiting:n}=await Tt("POST","/api/pairings/finish",{claim:t});return n?"waiting":jt(e)}async function jt(t){return s(null),await a(t)?(nt(),"here"):(X(await async function(t){for(const e of await Ot()){const n=e===V?await i():await dt(e);if((n?.uid??Z(e))===t)return e}return tt(t)}(t.uid)),"beside")}async function St(){const t=(await Ot()).filter(t=>t!==V);return(await Promise.all(t.map($t))).flatMap(t=>t.owner?[{owner:t.owner,unsent:t.unsent}]:[])}async function Ot(){const t=await(indexedDB.databases?.())??[];return[...new Set([V,...t.map(({name:t})=>t??"")])].filter(Y)}async function Tt(t,s,a){const i=/^\/api\/(devices|passphrase)/.test(s)||/^\/api\/pairings($|\/[0-9a-f]{32})/.test(s)?await e():{},o=await fetch(s,{method:t,cache:"no-store",redirect:"error",signal:AbortSignal.timeout(n.answer_ms),headers:{Accept:"application/json",...void 0===a?{}:{"Content-Type":"application/json"},...i},...void 0===a?{}:{body:JSON.stringify(a)}}).catch(()=>null);if(!o||!/json/.test(o.headers.get("Content-Type")??""))throw new gt("no_network");const l=await o.json().catch(()=>null);if(o.ok)return l;throw new gt(String(l?.errors?.new?.[0]?.code??l?.code??"no_network"),Number(o.headers.get("Retry-After")??0))}class Et extends Error{constructor(t,e){super(t,{cause:e}),this.name="PhotoError",this.code=t}}async function At(t){const e=await createImageBitmap(t).catch(t=>{throw new Et("not_image",t)}),n=Math.min(1,1600/Math.max(e.width,e.height)),[s,a]=[e.width,e.height].map(t=>Math.max(1,Math.round(t*n))),i=new OffscreenCanvas(Number(s),Number(a)),o=i.getContext("2d");if(!o)throw new Et("not_image",null);o.fillStyle="white",o.fillRect(0,0,i.width,i.height),o.drawImage(e,0,0,i.width,i.height),e.close();const l=await i.convertToBlob({type:"image/jpeg",quality:.82});return{bytes:await l.arrayBuffer(),media_type:"image/jpeg",width_px:i.width,height_px:i.height}}async function Mt(t,e){const{bytes:n,media_type:s,width_px:a,height_px:i}=await At(e),o=r();await async function(t){try{await d("rw",["photo_bytes"],e=>e.photo_bytes.put(t))}catch(e){if(!$(e)||!await g())throw e;await d("rw",["photo_bytes"],e=>e.photo_bytes.put(t))}}({id:o,bytes:n,media_type:s,state:"unsent",errors:null,tries:0,not_before_ms:0});try{await c("photo",o,{...t,taken_at:u(),media_type:s,width_px:a,height_px:i,bytes:n.byteLength,sha256:await Nt(n)})}catch(t){throw await d("rw",["photo_bytes"],t=>t.photo_bytes.delete(o)).catch(()=>{}),t}return o}function It(t){const[e,n]=t.tasting?["tasting",t.tasting]:["bottle",String(t.bottle)];return o(()=>l.photo.where(`fields.${e}`).equals(n).filter(t=>!t.gone).toArray())}async function Lt(t){const s=await o(()=>l.photo_bytes.get(t));if(s)return new Blob([s.bytes],{type:s.media_type});try{const s=await fetch(`/api/photos/${t}`,{headers:await e(),signal:AbortSignal.timeout(n.answer_ms)}),a=s.ok?await s.blob():null;return a?.type.startsWith("image/")?a:null}catch{return null}}function Pt(){return o(async()=>({unsent:await l.photo_bytes.where("state").equals("unsent").count(),refused:(await l.photo_bytes.where("state").equals("refused").toArray()).map(({id:t,errors:e})=>({id:t,errors:e??{}}))}))}async function Nt(t){if(!crypto.subtle)return null;const e=await crypto.subtle.digest("SHA-256",t);return Array.from(new Uint8Array(e),t=>t.toString(16).padStart(2,"0")).join("")}function Rt({label:t,options:e,value:n,none:s,onChange:a,note:i}){const o=p();return f`<div class="field">
    <label class="label" for=${o}>${t}</label>
    <select id=${o} value=${n??""} onChange=${t=>a(t.target.value||null)} aria-describedby=${i?`${o}-note`:void 0}>
      <option value="">${s}</option>
      ${e.map(t=>f`<option key=${t.id} value=${t.id}>${t.label}</option>`)}
    </select>
    ${i&&f`<p class="field-note" id=${`${o}-note`}>${i}</p>`}
  </div>`}const qt=["iPhone","iPad","Android","Windows","Macintosh","Linux"];function Bt(){const t=`${navigator.userAgent} ${navigator.userAgentData?.platform??""}`;return qt.find(e=>t.includes(e))??""}function Dt(t){return t||b("settings.device_nameless")}function Ut(t){if(!(t instanceof gt))throw t;const e=`settings.trouble_${t.code}`;return h(e)||h(`${e}.other`)?b(e,{count:t.wait_s}):b("settings.trouble")}function Gt(){const[t,e]=m([]),n=()=>mt().then(e,t=>{_(Ut(t))});w(()=>{n()},[]);const s=async t=>{await wt(t).then(()=>_(b("settings.device_revoked")),t=>_(Ut(t))),n()};return f`<h3>${b("settings.devices")}</h3>
    <ul class="ruled devices">${t.map(t=>f`<${Ft} key=${t.id} device=${t} onShut=${s} />`)}</ul>`}function Ft({device:t,onShut:e}){const{id:n,made_at:s,last_synced:a,current:i}=t,o=Dt(t.name);return f`<li>
    <span class="name">${o}</span>
    <p class="soft small">${b("settings.device_made",{date:y(s)})}</p>
    <p class="soft small">${a?b("settings.device_synced",{date:y(a),time:v(a)}):b("settings.device_never")}</p>
    ${i?f`<p class="small">${b("settings.device_this")}</p>`:f`<div class="buttons"><button type="button" class="button plain" aria-label=${`${b("settings.device_revoke")}: ${o}`} onClick=${()=>e(n)}>${b("settings.device_revoke")}</button></div>`}
  </li>`}function Wt({refused:t}){return t.length?f`<h3 class="warm">${b("settings.refused")}</h3>
    <p class="soft small">${b("settings.refused_note")}</p>
    <ul class="ruled refused">${t.map(t=>f`<${zt} key=${t.id} refused=${t} />`)}</ul>`:null}function zt({refused:t}){const{kind:e,id:n,errors:s}=t,a=k(()=>x(()=>async function(t,e){const n=await C(t,e);if("settings"===t)return b("settings.title");if("visit"===t)return n?.fields.name??b("field.visit");const s="bottle"===t?e:n?.fields.bottle;return st(at(await j([s]),s))}(e,n),""),[e,n]).value;return f`<li>
    <span class="name">${a}</span>
    ${Object.entries(s).flatMap(([t,e])=>e.map(e=>f`<p class="field-error">${function(t,{code:e,bound:n}){const s=void 0===n?{}:{bound:new Intl.NumberFormat(S(),{useGrouping:!1}).format(n)};return b("settings.refused_reason",{field:Ht(t),reason:b(`error.${e}`,s)})}(t,e)}</p>`))}
    <div class="buttons">
      <a class="button" href=${function(t,e){return"tasting"===t?`#/pour/${e}`:"bottle"===t?`#/book/bottle/${e}`:"pick"===t?"#/shelf":"settings"===t?"#/settings":"#/book"}(e,n)}>${b("settings.mend")}</a>
      <button type="button" class="button plain" onClick=${()=>async function({kind:t,id:e,errors:n}){const s=(await C(t,e)).fields,a=Object.keys(n).filter(t=>t in s);await c(t,e,Object.fromEntries(a.map(t=>[t,null]))),_(b("settings.left_out"),()=>{!async function(t,e,n){await c(t,e,Object.fromEntries(n)).catch(()=>_(b("settings.not_put_back")))}(t,e,a.map(t=>[t,s[t]]))})}(t)}>${b("settings.leave_out")}</button>
    </div>
  </li>`}function Ht(t){const e=["field","scale"].map(e=>`${e}.${t.replace("just_right_","")}`).find(t=>b(t)!==t);return e?b(e):t}function Jt(){const t=k(()=>x(Kt,[]),[]).value;return t.length?f`<h3 class="warm">${b("settings.photos_refused")}</h3>
    <p class="soft small">${b("settings.photos_refused_note")}</p>
    <ul class="ruled refused">${t.map(({id:t,code:e,taken:n,place:s})=>f`<li key=${t}>
      <span class="name">${n}</span>
      <p class="field-error">${b(h(`settings.photo_${e}`)?`settings.photo_${e}`:"settings.photo_not_taken")}</p>
      <div class="buttons"><a class="button" href=${s}>${b("settings.photo_show")}</a></div>
    </li>`)}</ul>`:null}async function Kt(){const{refused:t}=await Pt();return Promise.all(t.map(async({id:t,errors:e})=>{const{taken_at:n,tasting:s,bottle:a}=(await C("photo",t))?.fields??{};return{id:t,code:Object.values(e)[0]?.[0]?.code??"",taken:n?y(n):"",place:s?`#/book/${s}`:`#/book/bottle/${a}`}}))}function Qt(){const t=k(()=>x(T,0),[]).value,{phase:e,notes:n,refused:s,lastSynced:a,progress:i}=O.value,o=n+s.length;return f`<section class="settings-part" aria-labelledby="settings-keeping">
    <h2 id="settings-keeping">${b("settings.keeping")}</h2>
    <p class="soft" role="status">${b(`settings.phase_${e}`)}</p>
    <dl class="ledger-lines">
      <${Vt} name=${b("settings.on_phone")} figure=${b("settings.on_phone_figure",{count:t})} />
      <${Vt} name=${b("settings.unsent")} figure=${o?b("settings.unsent_figure",{count:o}):b("settings.unsent_none")} />
      ${i&&f`<${Vt} name=${b("settings.progress_of")} figure=${b("settings.progress",i)} />`}
      <${Vt} name=${b("settings.last_synced")} figure=${a?`${y(a)}, ${v(a)}`:b("settings.never_synced")} />
      <${Vt} name=${b("settings.storage")} figure=${b(`settings.storage_${Xt()}`)} />
    </dl>
    ${i?.total?f`<progress class="how-far" max=${i.total} value=${i.done} aria-label=${b("settings.progress_of")}></progress>`:null}
    ${"promised"!==Xt()&&f`<${Yt} />`}
    <div class="buttons"><button type="button" class="button" disabled=${"syncing"===e} onClick=${te}>${b("settings.sync_now")}</button></div>
    <${Wt} refused=${s} />
    <${Jt} />
  </section>`}function Vt({name:t,figure:e}){return f`<div><dt>${t}</dt><dd class="figure">${e}</dd></div>`}function Xt(){const{persisted:t}=E.value;return null===t?"unknown":t?"promised":"not_promised"}function Yt(){return f`<div class="line-note"><p class="soft small">${b("settings.storage_note")}</p>
    <button type="button" class="button plain" onClick=${Zt}>${b("settings.storage_ask")}</button></div>`}async function Zt(){_(b(await A()?"settings.storage_yes":"settings.storage_no"))}async function te(){const t=await nt(),e=O.value.refused.length;_("done"===t&&e?b("settings.copied_but",{count:e}):b(`settings.copied_${t}`))}function ee(){const[t,e]=m(null),[n,s]=m("");return f`<h3>${b("settings.pair")}</h3>
    ${n&&f`<p class="warm" role="status">${n}</p>`}
    ${t?f`<${ne} key=${t.id} offer=${t} onEnd=${t=>{e(null),s(t)}} />`:f`<div class="buttons"><button type="button" class="button" onClick=${()=>_t().then(t=>{s(""),e({...t,image:URL.createObjectURL(new Blob([t.svg],{type:"image/svg+xml"}))})},t=>{s(Ut(t))})}>${b(n?"settings.pair_again":"settings.pair")}</button></div>`}`}function ne({offer:t,onEnd:e}){const[n,s]=m(null);w(()=>{const n=setInterval(()=>yt(t.id).then(s,t=>{"no_network"!==t.code&&e(Ut(t))}),2e3);return()=>{clearInterval(n),URL.revokeObjectURL(t.image)}},[t.id]);const a=()=>kt(t.id).finally(()=>e(""));return n?.code?f`<${se} code=${n.code} name=${Dt(n.name)} onAgree=${(n,s)=>vt(t.id,n).then(()=>{_(b("settings.pair_done",{name:s})),e("")},t=>e(Ut(t)))} onStop=${a} />`:f`<p class="soft">${b("settings.pair_note")}</p>
    ${!t.reachable&&f`<p class="warm">${b("settings.pair_unreachable")}</p>`}
    <img class="pair-code" src=${t.image} alt=${b("settings.pair_image")} />
    <div class="buttons"><button type="button" class="button plain" onClick=${a}>${b("settings.pair_stop")}</button></div>`}function se({code:t,name:e,onAgree:n,onStop:s}){return f`<div role="status"><p>${b("settings.pair_waits",{name:e})}</p><p>${b("settings.pair_code",{code:t})}</p></div>
    <div class="buttons">
      <button type="button" class="button" onClick=${()=>n(t,e)}>${b("settings.pair_agree")}</button>
      <button type="button" class="button plain" onClick=${s}>${b("settings.pair_stop")}</button>
    </div>`}function ae({label:t,value:e,onChange:n,autocomplete:s,error:a}){const[i,o]=m(!1);return f`<${M} label=${t} type=${i?"text":"password"} value=${e} onChange=${t=>n(t??"")} autocomplete=${s} error=${a} />
    <div class="buttons"><button type="button" class="button plain" aria-pressed=${i} onClick=${()=>o(!i)}>${b("settings.passphrase_show")}</button></div>`}function ie({name:t,isSet:e,onSet:n}){const[s,a]=m(""),[i,o]=m(""),[l,r]=m(""),[c,u]=m(!1),[d,$]=m(!1);return f`<details><summary>${b(e?"settings.passphrase_change":"settings.passphrase_first")}</summary>
    <form onSubmit=${async t=>{t.preventDefault(),$(!0),u(!1),await ht(s,i,Bt()).then(()=>{_(b("settings.passphrase_changed"));for(const t of[a,o,r])t("");n()},t=>{const e=t instanceof gt&&"wrong"===t.code;u(e),r(e?"":Ut(t))}).finally(()=>$(!1))}}>
      <input type="text" autocomplete="username" value=${t} readonly hidden />
      <p class="soft small">${b("settings.passphrase_note")}</p>
      ${e&&f`<${ae} label=${b("settings.passphrase_current")} value=${s} onChange=${a} autocomplete="current-password" error=${c?b("settings.passphrase_wrong"):null} />`}
      <${ae} label=${b("settings.passphrase_new")} value=${i} onChange=${o} autocomplete="new-password" error=${l||null} />
      <div class="buttons"><button type="submit" class="button" disabled=${d||!i||e&&!s}>${b("settings.passphrase_set")}</button></div>
    </form>
  </details>`}function oe({name:t,onIn:e}){const[n,s]=m(t),[a,i]=m(""),[o,l]=m(Bt()),[r,c]=m(""),[u,d]=m(!1),$=t=>e=>{t(e??"")};return f`<form onSubmit=${async t=>{t.preventDefault(),d(!0),await ft(n,a,o).then(t=>{"beside"===t?location.reload():e()},t=>{c(Ut(t))}).finally(()=>d(!1))}}>
    <${M} label=${b("settings.sign_in_name")} value=${n} onChange=${$(s)} autocomplete="username" />
    <${ae} label=${b("settings.passphrase")} value=${a} onChange=${i} autocomplete="current-password" error=${r||null} />
    <${M} label=${b("settings.device_name")} value=${o} onChange=${$(l)} maxLength=${40} />
    <div class="buttons"><button type="submit" class="button" disabled=${u||!n||!a}>${b("settings.sign_in")}</button></div>
  </form>`}function le(){const[t,e]=m(null),[n,s]=m(null),a=async()=>{e(await async function(){try{return{is:"in",...await pt()}}catch(t){return Ut(t),{is:"no_network"===t.code?"offline":"out"}}}()),s(await i())},{other:o,revoked:l}=I.value,r="signin"===O.value.phase;if(w(()=>{a()},[o?.uid,l,r]),!t)return null;const c="in"===t.is&&(!n||t.owner.uid===n.uid);return f`<section class="settings-part" aria-labelledby="settings-account">
    <h2 id="settings-account">${b("settings.account")}</h2>
    ${n?.name&&"me"!==n.name&&f`<p>${b("settings.account_of",{name:n.name})}</p>`}
    <p class=${l?"warm":"soft"} role="status">${function(t,e,n){if("in"!==t.is)return b("offline"===t.is?"settings.account_offline":n?"settings.account_revoked":"settings.account_nobody");const{name:s,uid:a}=t.owner;return e&&e.uid!==a?b("settings.account_other",{name:s}):t.device?b("settings.account_in",{name:s}):b("settings.account_home")}(t,n,l)}</p>
    ${c&&t.device&&f`<${re} onOut=${a} />`}
    ${c&&f`<${ee} /><${ie} name=${t.owner.name} isSet=${null!==t.device} onSet=${a} />`}
    ${!c&&"in"===t.is&&f`<${ce} owner=${t.owner} />`}
    ${!c&&"offline"!==t.is&&f`<${oe} name=${n?.name??""} onIn=${a} />`}
    <${ue} />
  </section>`}function re({onOut:t}){return f`<div class="buttons"><button type="button" class="button" onClick=${async()=>{await bt().then(()=>_(b("settings.account_out")),t=>_(Ut(t))),t()}}>${b("settings.sign_out")}</button></div>
    <${Gt} />`}function ce({owner:t}){return f`<div class="buttons"><button type="button" class="button" onClick=${async()=>{"beside"===await jt(t)&&location.reload()}}>${b("settings.account_other_open",{name:t.name})}</button></div>`}function ue(){const[t,e]=m([]);return w(()=>{St().then(e)},[]),t.length?f`<h3>${b("settings.account_aside")}</h3>
    <dl class="ledger-lines">${t.map(({owner:t,unsent:e})=>f`<${Vt} key=${t.uid} name=${b("settings.account_aside_book",{name:t.name})}
      figure=${e?b("settings.account_aside_unsent",{count:e}):b("settings.account_aside_none")} />`)}</dl>
    <p class="soft small">${b("settings.account_aside_note")}</p>`:null}const de="0.1.0",$e=[{name:"@fontsource-variable/vollkorn",licence:"OFL-1.1"},{name:"@preact/signals",licence:"MIT"},{name:"@preact/signals-core",licence:"MIT"},{name:"dexie",licence:"Apache-2.0"},{name:"htm",licence:"Apache-2.0"},{name:"preact",licence:"MIT"},{name:"workbox",licence:"MIT"},{name:"zxing-wasm",licence:"MIT"}];function ge(){const t=k(()=>x(it,null),[]).value,[e,n]=m(!1),s=async t=>{n(!0),await t().finally(()=>n(!1))};return f`<section class="settings-part" aria-labelledby="settings-example">
    <h2 id="settings-example">${b("settings.example")}</h2>
    <p class="soft">${b(t?"settings.example_on":"settings.example_off")}</p>
    <div class="buttons">${t?f`<button type="button" class="button" disabled=${e} onClick=${()=>s(fe)}>${b("settings.example_away")}</button>`:f`<button type="button" class="button" disabled=${e||null===t} onClick=${()=>s(pe)}>${b("settings.example_show")}</button>`}</div>
  </section>`}async function pe(){try{await ot(),_(b("settings.example_shown"))}catch(t){if(!(t instanceof lt))throw t;_(b("settings.example_failed"))}}async function fe(){const{undo:t}=await rt();_(b("settings.example_gone"),t)}const be=x(P,null),he=L({});function me(){return{...be.value?.fields,...he.value}}async function we(t){he.value={...he.value,...t},await c("settings",N,t).catch(e=>{throw ye(Object.keys(t)),e})}function _e(t){return e=>{we({[t]:e})}}function ye(t){t.length&&(he.value=Object.fromEntries(Object.entries(he.value).filter(([e])=>!t.includes(e))))}function ve(t){return D.vocabularies[t].map(e=>({id:e,label:b(`${t}.${e}`)}))}function ke(){const t=me();return f`<section class="settings-part" aria-labelledby="settings-house">
    <h2 id="settings-house">${b("settings.house")}</h2>
    ${["temperature_unit","volume_unit"].map(e=>f`<${B} key=${e} label=${b(`field.${e}`)} options=${ve(e)} value=${t[e]} onChange=${_e(e)} />`)}
    <${q} label=${b("field.currency")} items=${ct()} value=${t.currency} placeholder=${b("settings.not_said")} onChange=${_e("currency")} />
    <${Rt} label=${b("field.drink_country")} options=${ve("drink_country")} value=${t.drink_country} none=${b("settings.not_said")} onChange=${_e("drink_country")} note=${b("settings.drink_note")} />
    <${Rt} label=${b("field.market")} options=${ve("market")} value=${t.market} none=${b("settings.not_said")} onChange=${_e("market")} note=${b("settings.market_note")} />
  </section>`}function xe(){const{language:t,light:e}=me();return f`<section class="settings-part" aria-labelledby="settings-look">
    <h2 id="settings-look">${b("settings.look")}</h2>
    <${B} label=${b("field.light")} options=${ve("light")} value=${e??"auto"} onChange=${Ce} />
    <${Rt} label=${b("field.language")} options=${ve("language")} value=${t} none=${b("settings.language_auto")} onChange=${je} />
  </section>`}function Ce(t){et(t),we({light:t})}async function je(t){await we({language:t}),location.reload()}function Se(){const t=U.value??"menu";return f`<section class="settings-part" aria-labelledby="settings-install">
    <h2 id="settings-install">${b("install.title")}</h2>
    <p class="soft">${b(`install.${t}`)}</p>
    ${"ask"===t&&f`<div class="buttons"><button type="button" class="button" onClick=${G}>${b("install.put")}</button></div>`}
  </section>`}function Oe({secret:t}){const[e,n]=m(null),[s,a]=m(Bt()),[i,o]=m("");return w(()=>{history.replaceState(null,"","#/settings")},[]),w(()=>{if(!e)return;const t=setInterval(()=>async function(t,e){try{const n=await Ct(t);if("waiting"===n)return;if(e(""),"beside"===n)return void location.reload();_(b("settings.join_in")),F("/settings",{replace:!0})}catch(t){const n=Ut(t);"no_network"!==t.code&&e(n)}}(e.claim,e=>{clearInterval(t),o(e)}),2e3);return()=>clearInterval(t)},[e]),f`<section class="settings-part" aria-labelledby="settings-join">
    <h2 id="settings-join">${b("settings.join")}</h2>
    ${i&&f`<p class="warm" role="status">${i}</p>`}
    ${e?f`<p class="soft">${b("settings.join_code")}</p><p class="pair-number figure" role="status">${e.code}</p>`:f`<p class="soft">${b("settings.join_note")}</p>
        <${M} label=${b("settings.device_name")} value=${s} onChange=${t=>a(t??"")} maxLength=${40} />
        <div class="buttons"><button type="button" class="button" onClick=${()=>xt(t,s).then(n,t=>{o(Ut(t))})}>${b("settings.join_ask")}</button></div>`}
  </section>`}function Te(){const{notes:t,refused:e}=O.value,n=t+e.length;return f`<section class="settings-part" aria-labelledby="settings-leave">
    <h2 id="settings-leave">${b("settings.leave")}</h2>
    <p class="soft">${b("settings.leave_note")}</p>
    ${n>0&&f`<p class="warm">${b("settings.export_unsent",{count:n})}</p>`}
    <div class="buttons"><a class="button" href="/api/export" download>${b("settings.export")}</a></div>
  </section>`}function Ee(){return f`<section class="settings-part" aria-labelledby="settings-care">
    <h2 id="settings-care">${b("settings.care")}</h2>
    <ul class="care">${["drive","never","spit","help"].map(t=>f`<li key=${t}>${b(`settings.care_${t}`)}</li>`)}</ul>
    <p class="soft small">${b("settings.care_us")}</p>
    <blockquote class="soft small" lang="en">${b("settings.care_us_text")}</blockquote>
  </section>`}function Ae(){return f`<section class="settings-part" aria-labelledby="settings-about">
    <h2 id="settings-about">${b("settings.about")}</h2>
    <p>${b("settings.own_licence")}</p>
    <dl class="ledger-lines"><${Vt} name=${b("settings.edition")} figure=${de} /></dl>
    <details><summary>${b("settings.built_on")}</summary>
      <dl class="ledger-lines">${$e.map(({name:t,licence:e})=>f`<${Vt} key=${t} name=${t} figure=${e} />`)}</dl>
    </details>
  </section>`}R(()=>{const t=be.value?.fields??{};ye(Object.keys(he.value).filter(e=>(t[e]??null)===(he.value[e]??null)))});const Me={min:5,max:20,step:.5},Ie={min:5,max:40},Le={min:5,max:500};function Pe(){const{wanted_abv_low:t=null,wanted_abv_high:e=null,budget:n,currency:s}=me();return f`<section class="settings-part" aria-labelledby="settings-wanted">
    <h2 id="settings-wanted">${b("settings.wanted")}</h2>
    <div class="field">
      <div class="line-head"><span class="label">${b("settings.wanted_abv")}</span><span class="figure">${function(t,e){const n=[null===t||t<=Me.min,null===e||e>=Me.max];return n[0]&&n[1]?b("settings.wanted_any"):n[0]?b("settings.wanted_to",{high:W(Number(e))}):n[1]?b("settings.wanted_from",{low:W(Number(t))}):b("settings.wanted_range",{low:W(Number(t)),high:W(Number(e))})}(t,e)}</span></div>
      <${ut} ...${Me} low=${Ne(t)} high=${Ne(e)} lowLabel=${b("settings.wanted_low")} highLabel=${b("settings.wanted_high")} said=${W}
        onChange=${(t,e)=>{we({wanted_abv_low:t,wanted_abv_high:e})}} />
      <p class="field-note">${b("settings.wanted_note")}</p>
    </div>
    <${z} label=${b("field.budget")} unit=${H(s)} min=${0} value=${n} onChange=${_e("budget")} />
    <${Re} label=${b("field.room_c")} field="room_c" unit=${J()} bounds=${Ie} />
    <${Re} label=${b("settings.pour")} field="pour_ml" unit=${K()} bounds=${Le} />
  </section>`}function Ne(t){return null===t?null:Math.min(Me.max,Math.max(Me.min,t))}function Re({label:t,field:e,unit:n,bounds:s}){const a=me()[e];return f`<${z} key=${n.unit} label=${t} unit=${n.unit} min=${Math.ceil(n.shown(s.min))} max=${Math.floor(n.shown(s.max))}
    value=${"number"==typeof a?n.shown(a):null} onChange=${t=>{we({[e]:null===t?null:n.kept(t)})}} />`}function qe({path:[t,e]}){return"join"===t&&e?f`<${Q} title=${b("settings.title")}><${Oe} secret=${e} /><//>`:f`<${Q} title=${b("settings.title")}>
    <div class="columns"><${Qt} /><${le} /><${ge} /><${Pe} /><${ke} /><${xe} /><${Se} /><${Te} /><${Ee} /><${Ae} /></div>
  <//>`}export{gt as A,ae as B,ie as C,Gt as D,oe as E,le as F,de as G,$e as H,ge as I,we as J,Qt as K,Vt as L,_e as M,me as N,ke as O,Et as P,xe as Q,Wt as R,Rt as S,Se as T,Oe as U,Ae as V,Ee as W,Te as X,Pe as Y,qe as Z,Mt as a,Lt as b,$t as c,vt as d,St as e,ht as f,xt as g,mt as h,jt as i,Ct as j,_t as k,yt as l,pt as m,bt as n,dt as o,It as p,At as q,wt as r,ft as s,Pt as t,Dt as u,Bt as v,kt as w,Ut as x,Jt as y,ee as z};